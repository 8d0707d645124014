import { describe, expect, test } from 'vitest';
import type { LogReport, Overrides } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { printedCells } from '../../server/ingest/text/printedCells.ts';
import { G, RAD, rollingTake, type Sample, textSource } from './logs.ts';

const take = rollingTake(600, 100);
const isDown = (t: number) => (t >= 2 && t < 2.3) || (t >= 4 && t < 4.2);

async function read(text: string, stated: Overrides = {}): Promise<LogReport> {
  const { report, needs } = await previewLog([textSource(text)], stated, {});
  expect(needs).toEqual([]);
  return report!;
}

const print = (sample: (s: Sample) => string) => take.map(sample).join('');
const list = (values: readonly number[], digits = 4) =>
  values.map((value) => value.toFixed(digits)).join(', ');
const forces = ({ accel: [x, y, z] }: Sample) =>
  `X: ${(x * G).toFixed(3)}, Y: ${(y * G).toFixed(3)}, Z: ${(z * G).toFixed(3)} m/s^2`;
const rates = ({ gyro: [x, y, z] }: Sample) =>
  `X: ${(x * RAD).toFixed(5)}, Y: ${(y * RAD).toFixed(5)}, Z: ${(z * RAD).toFixed(5)} rad/s`;
const blocks = print((s) => `Acceleration ${forces(s)}\nRotation ${rates(s)}\nTemperature: 24.50 degC\n\n`);
const objects = (s: Sample) => ({
  ax: s.accel[0],
  ay: s.accel[1],
  az: s.accel[2],
  gx: s.gyro[0],
  gy: s.gyro[1],
  gz: s.gyro[2],
});

describe('prints with a time in each sample', () => {
  test.each([
    [
      'name=value with units, in one line',
      print(
        (s) =>
          `t=${(s.t * 1000).toFixed(0)}ms ax=${s.accel[0].toFixed(4)}g ay=${s.accel[1].toFixed(4)}g az=${s.accel[2].toFixed(4)}g gx=${s.gyro[0].toFixed(3)}dps gy=${s.gyro[1].toFixed(3)}dps gz=${s.gyro[2].toFixed(3)}dps\n`,
      ),
    ],
    [
      'a time and two lists in brackets',
      print((s) => `[${s.t.toFixed(3)}] acc=(${list(s.accel)}) gyro=(${list(s.gyro, 3)})\n`),
    ],
    ['rows in brackets', print((s) => `[${s.t.toFixed(3)}, ${list(s.accel)}, ${list(s.gyro, 3)}],\n`)],
    [
      'one value a line, a divider between samples',
      print(
        (s) =>
          `time: ${(s.t * 1000).toFixed(0)}\n${['aX', 'aY', 'aZ'].map((n, i) => `${n}: ${s.accel[i]!.toFixed(4)}\n`).join('')}${['gX', 'gY', 'gZ'].map((n, i) => `${n}: ${s.gyro[i]!.toFixed(3)}\n`).join('')}-----\n`,
      ),
    ],
    [
      'one sensor and the other in turn, each with its time',
      print(
        (s) =>
          `ACC ${(s.t * 1000).toFixed(0)} ${s.accel.map((v) => v.toFixed(4)).join(' ')}\nGYR ${(s.t * 1000).toFixed(0)} ${s.gyro.map((v) => v.toFixed(3)).join(' ')}\n`,
      ),
    ],
    [
      'one JSON object a line',
      print((s) => `${JSON.stringify({ t_ms: Math.round(s.t * 1000), ...objects(s) })}\n`),
    ],
    [
      'JSON objects with objects and lists inside',
      print(
        (s) =>
          `${JSON.stringify({ timestamp: Math.round(s.t * 1000), accel: { x: s.accel[0], y: s.accel[1], z: s.accel[2] }, gyro: s.gyro })}\n`,
      ),
    ],
    [
      'an array of JSON objects, one a line',
      `[\n${take.map((s) => JSON.stringify({ t: s.t, ...objects(s) })).join(',\n')}\n]\n`,
    ],
    [
      'lines that a terminal stamped, axes behind a sensor',
      print(
        (s) =>
          `12:00:${s.t.toFixed(3).padStart(6, '0')} -> Accel: X=${s.accel[0].toFixed(4)} Y=${s.accel[1].toFixed(4)} Z=${s.accel[2].toFixed(4)} | Gyro: X=${s.gyro[0].toFixed(3)} Y=${s.gyro[1].toFixed(3)} Z=${s.gyro[2].toFixed(3)}\n`,
      ),
    ],
  ])('%s', async (_what, text) => {
    const report = await read(text);
    expect(report).toMatchObject({ rows: 600, gaps: 0, badRowCount: 0 });
    expect(report.rateHz).toBeCloseTo(100, 1);
    expect(report.peakRateDps).toBeGreaterThan(70);
    expect(report.peakRateDps).toBeLessThan(73);
    expect(report.peakAccelG).toBeCloseTo(1, 1);
  });
});

describe('prints without a time ask for the rate, and are read with it', () => {
  test.each([
    ['blocks of labelled lines', blocks],
    [
      'the same behind lines of the start',
      `Sensor found!\nAccelerometer range set to: +-8G\nGyro range set to: +- 500 deg/s\n\n${blocks}`,
    ],
    [
      'tabs and two lines a sample',
      print(
        (s) =>
          `\t\tAccel ${forces(s).replaceAll(',', '\t')} \n\t\tGyro ${rates(s).replaceAll(',', '\t')} \n\n`,
      ),
    ],
    [
      'scaled values in brackets, a magnetometer and a temperature behind',
      print(
        (s) =>
          `Scaled. Acc (mg) [ ${list(
            s.accel.map((v) => 1000 * v),
            2,
          )} ], Gyr (DPS) [ ${list(s.gyro, 3)} ], Mag (uT) [ 12.00, 3.00, -41.00 ], Tmp (C) [ 25.00 ]\n`,
      ),
    ],
    ['one sensor and the other in turn', print((s) => `accel: ${list(s.accel)}\ngyro: ${list(s.gyro, 3)}\n`)],
    [
      'the same with letters and semicolons',
      print(
        (s) =>
          `A;${s.accel.map((v) => v.toFixed(4)).join(';')}\nG;${s.gyro.map((v) => v.toFixed(3)).join(';')}\n`,
      ),
    ],
    [
      'units between the values',
      print(
        (s) =>
          `ax = ${(1000 * s.accel[0]).toFixed(1)} mg ay = ${(1000 * s.accel[1]).toFixed(1)} mg az = ${(1000 * s.accel[2]).toFixed(1)} mg\ngx = ${s.gyro[0].toFixed(3)} gy = ${s.gyro[1].toFixed(3)} gz = ${s.gyro[2].toFixed(3)} deg/s\n`,
      ),
    ],
  ])('%s', async (_what, text) => {
    const { needs } = await previewLog([textSource(text)], {}, {});
    expect(needs).toEqual([expect.stringContaining('give the sample rate in Hz')]);
    const report = await read(text, { rateHz: 100 });
    expect(report).toMatchObject({ rows: 600, gaps: 0, badRowCount: 0 });
    expect(report.peakRateDps).toBeGreaterThan(70);
    expect(report.peakRateDps).toBeLessThan(73);
    expect(report.peakAccelG).toBeCloseTo(1, 1);
  });
});

test('a button’s state in words is a cell too', async () => {
  const text = print(
    (s) =>
      `t=${(s.t * 1000).toFixed(0)} acc=(${list(s.accel)}) gyro=(${list(s.gyro, 3)}) btn=${isDown(s.t) ? 'pressed' : 'released'}\n`,
  );
  expect((await read(text)).presses).toEqual([{ button: 'btn', count: 2 }]);
});

test('of one sensor alone the other is asked for', async () => {
  const { needs } = await previewLog([textSource(print((s) => `Accel ${forces(s)}\n`))], { rateHz: 100 }, {});
  expect(needs).toEqual([expect.stringContaining('no columns of angular rate')]);
});

test('a torn line spoils its own sample and is told of by its line', async () => {
  const lines = blocks.split('\n');
  lines[401] = lines[401]!.slice(0, 20);
  const report = await read(lines.join('\n'), { rateHz: 100 });
  expect(report).toMatchObject({ rows: 599, badRowCount: 2 });
  expect(report.badRows[0]).toMatchObject({ line: 402 });
});

test('JSON over several lines is refused with what to do', async () => {
  const nested = take.slice(0, 50).map(({ accel, gyro }) => ({ accel: { ...accel }, gyro: { ...gyro } }));
  const text = JSON.stringify(nested, null, 2);
  await expect(previewLog([textSource(text)], {}, {})).rejects.toThrow(
    /one object a line, or export it as CSV/,
  );
});

describe('cells of a printed line', () => {
  test.each([
    [
      'Accel X: 0.10, Y: -0.20, Z: 9.81 m/s^2',
      'Accel X (m/s^2)=0.10 Accel Y (m/s^2)=-0.20 Accel Z (m/s^2)=9.81',
    ],
    ['ax=0.1g ay=.2g', 'ax (g)=0.1 ay (g)=.2'],
    ['acc=(1, 2, 3)', 'acc x=1 acc y=2 acc z=3'],
    ['g: 0.5 s=3', 'g=0.5 s=3'],
    ['T 25 degC', 'T (degC)=25'],
    ['btn=idle n=4', 'btn=idle n=4'],
    ['0.1, 0.2, 0.3', null],
    ['mag 1 2', null],
  ])('%s', (line, expected) => {
    expect(
      printedCells(line)
        ?.map(({ name, value }) => `${name}=${value}`)
        .join(' ') ?? null,
    ).toBe(expected);
  });
});
