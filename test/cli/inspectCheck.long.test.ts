import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { writeCsv } from '../../scripts/simulate/csv.ts';
import { DEMO_TAKES } from '../../scripts/simulate/demo/demoTakes.ts';
import { DIALECTS } from '../../scripts/simulate/demo/dialects.ts';
import type { SimulatedTake } from '../../scripts/simulate/take.ts';
import { run } from '../../server/cli/inspect.ts';
import type { MotionLog } from '../../server/engine/base/log.ts';
import { ARM_M, mapColumns, sensor, take } from '../engine/check/checkedTakes.ts';

const folder = mkdtempSync(join(tmpdir(), 'moulinet-check-'));
afterAll(() => rmSync(folder, { recursive: true }));

beforeAll(() => {
  const sound = take();
  write('sound', sound);
  write('dead', {
    ...sound,
    log: mapColumns(sound.log, (column, key) => (key === 'gyroYDps' ? column.map(() => 0) : column)),
  });
  const edited = (changes: (log: MotionLog) => Partial<MotionLog>) => ({
    ...sound,
    log: { ...sound.log, ...changes(sound.log) },
  });
  const times = (column: Float64Array, by: number) => column.map((value) => value * by);
  write(
    'mirrored',
    edited(({ gyroYDps }) => ({ gyroYDps: times(gyroYDps, -1) })),
  );
  write(
    'accel-mirrored',
    edited(({ accelZG }) => ({ accelZG: times(accelZG, -1) })),
  );
  write(
    'swapped',
    edited(({ gyroXDps, gyroZDps }) => ({ gyroXDps: gyroZDps, gyroZDps: gyroXDps })),
  );
  write(
    'small',
    edited(({ gyroXDps, gyroYDps, gyroZDps }) => ({
      gyroXDps: times(gyroXDps, Math.PI / 180),
      gyroYDps: times(gyroYDps, Math.PI / 180),
      gyroZDps: times(gyroZDps, Math.PI / 180),
    })),
  );
  write(
    'heavy',
    edited(({ accelXG, accelYG, accelZG }) => ({
      accelXG: times(accelXG, 9.80665),
      accelYG: times(accelYG, 9.80665),
      accelZG: times(accelZG, 9.80665),
    })),
  );
  const lines = writeCsv(sound, DIALECTS.plain).split('\n');
  const repeated = lines.flatMap((line, i) =>
    i > 50 && i % 77 === 0 && i / 77 <= 71 ? [line, line] : [line],
  );
  writeFileSync(join(folder, 'repeated.csv'), repeated.join('\n'));
});

function write(name: string, simulated: SimulatedTake): void {
  writeFileSync(join(folder, `${name}.csv`), writeCsv(simulated, DIALECTS.plain));
}

async function inspect(...args: string[]): Promise<{ code: number; out: string }> {
  let out = '';
  const stdout = { write: (text: string) => (out += text) };
  const code = await run(
    args.map((arg) => arg.replace('@', folder)),
    { stdout, stderr: stdout },
  );
  return { code, out };
}

test('a sound log is fit, and the exit code says so', async () => {
  const { code, out } = await inspect('@/sound.csv', '--check');
  expect(out).toContain('check: Signals fit.');
  expect(out).toMatch(/pass {4}Swings: 25 swings/);
  expect(code).toBe(0);
});

test('a log with a dead channel is not fit: exit code 1, the line and the advice named', async () => {
  const { code, out } = await inspect('@/dead.csv', '--check');
  expect(out).toMatch(/check: Signals not fit to tune on: .*stuck channels/);
  expect(out).toMatch(
    /fail {4}Stuck channels: gyro y reads nothing but 0 throughout\.\n +Look at the wiring/,
  );
  expect(code).toBe(1);
});

test.each([
  ['mirrored', 'Units and axes: The gyro’s y axis is mirrored against the accelerometer’s'],
  ['accel-mirrored', 'Units and axes: The gyro’s x and y axes are mirrored'],
  ['accel-mirrored', 'or, which looks the same, the accelerometer’s z'],
  ['swapped', 'the accelerometer’s x turns with the gyro’s +z and z turns with the gyro’s +x'],
])('a copy whose axes are %s is not fit, and the line names it', async (name, words) => {
  const { code, out } = await inspect(`@/${name}.csv`, '--check');
  expect(out).toContain(words);
  expect(code).toBe(1);
});

test.each([
  ['small', '--gyro-unit', 'deg/s', 'rad/s were read as °/s'],
  ['sound', '--gyro-unit', 'rad/s', '°/s were read as rad/s'],
  ['heavy', '--accel-unit', 'g', 'That is m/s² taken for g.'],
  ['sound', '--accel-unit', 'm/s2', 'That is g taken for m/s².'],
])('%s.csv read with %s %s: not fit, and the mistake named', async (name, option, unit, words) => {
  const { code, out } = await inspect(`@/${name}.csv`, option, unit, '--check');
  expect(out).toContain(words);
  expect(code).toBe(1);
});

test('none of the demo takes is called mirrored, swapped or of another scale', async () => {
  const logs = readdirSync('fixtures').filter((name) => name.endsWith('.csv'));
  expect(logs).toHaveLength(DEMO_TAKES.length);
  for (const file of logs) {
    const { check } = JSON.parse((await inspect(join('fixtures', file), '--check', '--json')).out);
    const { state, finding } = check.lines.find(({ id }: { id: string }) => id === 'gravity');
    expect(state, file).not.toBe('fail');
    expect(finding, file).toMatch(/slope (0\.9\d*|1\.0\d*|1),/);
  }
}, 120_000);

test('--json holds what the take shows of its sensor, with intervals, and gravity’s word on each axis', async () => {
  const { calibration, gravity } = JSON.parse((await inspect('@/sound.csv', '--check', '--json')).out).check;
  const { dps, halfDps } = calibration.bias;
  sensor().gyro.bias.forEach((biasDps, axis) => {
    // it drifts by more than its interval over the take
    expect(Math.abs(dps[axis] - biasDps), `axis ${axis}`).toBeLessThan(0.02);
    expect(halfDps[axis]).toBeGreaterThan(0);
    expect(halfDps[axis]).toBeLessThan(0.05);
  });
  const { lowM, highM } = calibration.arm;
  expect(lowM).toBeLessThan(ARM_M);
  expect(highM).toBeGreaterThan(ARM_M);
  expect(highM - lowM).toBeLessThan(0.2 * ARM_M);
  expect(gravity.axes.map(({ state }: { state: string }) => state)).toEqual(['proven', 'proven', 'proven']);
});

describe('--mount', () => {
  test('that fits the swings is no matter; one that does not is told', async () => {
    const fitting = await inspect('@/sound.csv', '--check', '--mount', 'tip=+x,side=+y');
    expect(fitting.out).toContain('check: Signals fit.');
    const off = await inspect('@/sound.csv', '--check', '--mount', 'tip=+z,side=+y');
    expect(off.out).toMatch(/caution Lever arm and mount: .*The mount that is set has the blade 90° away/);
    expect(off.code).toBe(0);
  });

  test.each([
    [['--check', '--mount', 'tip=+x,side=-x'], '--mount wants two different axes'],
    [['--check', '--mount', 'up'], '--mount wants tip=+x,side=+y'],
    [['--mount', 'tip=+x,side=+y'], '--mount says something only with --check'],
  ])('%j makes no sense: exit code 2', async (options, words) => {
    const { code, out } = await inspect('@/sound.csv', ...options);
    expect(out).toContain(words);
    expect(code).toBe(2);
  });
});

test('without --check the same log is only read', async () => {
  const { code, out } = await inspect('@/dead.csv');
  expect(out).not.toContain('check:');
  expect(code).toBe(0);
});

test('71 rows written twice are told, and the fastest swing is the one that was', async () => {
  const sound = JSON.parse((await inspect('@/sound.csv', '--check', '--json')).out).check;
  const { code, out } = await inspect('@/repeated.csv', '--check', '--json');
  const { check } = JSON.parse(out);
  const line = (of: typeof check, id: string) => of.lines.find((one: { id: string }) => one.id === id);
  expect(check.verdict).toBe('care');
  expect(line(check, 'rows')).toMatchObject({ state: 'caution', name: 'Rows read' });
  expect(line(check, 'rows').finding).toMatch(/^71 rows with a stamp that was there already/);
  expect(line(check, 'swings').finding).toBe(line(sound, 'swings').finding);
  expect(code).toBe(0);
});

test('every take of several has its own check in the document', async () => {
  const documents = JSON.parse((await inspect('@/sound.csv', '@/dead.csv', '--check', '--json')).out);
  expect(documents.map(({ check }: { check: { verdict: string } }) => check.verdict)).toEqual([
    'fit',
    'unfit',
  ]);
});
