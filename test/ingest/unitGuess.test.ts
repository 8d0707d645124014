import { describe, expect, test } from 'vitest';
import { checkTake } from '../../server/cli/inspectCheck.ts';
import { figure } from '../../server/engine/words/count.ts';
import { restLevel } from '../../server/ingest/ground/rest.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { guessAccelUnit } from '../../server/ingest/units/accelGuess.ts';
import { turnScale } from '../../server/ingest/units/turnScale.ts';
import { codes, G, RAD, rollingTake, rowsOf, type Sample, textSource, time } from './logs.ts';
import { SPIN } from './spin.ts';

const take = rollingTake(1500, 100);
const column = (read: (s: Sample) => number) => Float64Array.from(take, read);
const vectors = (of: 'gyro' | 'accel', scale = 1) => ({
  x: column((s) => s[of][0] * scale),
  y: column((s) => s[of][1] * scale),
  z: column((s) => s[of][2] * scale),
});

describe('the accelerometer at rest reads 1 g', () => {
  test.each([
    [0.97, false, 'g'],
    [9.81, false, 'm/s2'],
    [1003, false, 'mg'],
    // 1024 codes per g and 1000 mg lie 2.4 % apart: whole numbers nearer to 1024 are codes.
    [1021, true, 'lsb:1024'],
    [1003, true, 'mg'],
    // Ranges of 2, 4, 8, 16 g in 16 bits.
    [16_100, true, 'lsb:16384'],
    [14_940, true, 'lsb:16384'],
    [8200, true, 'lsb:8192'],
    [4050, true, 'lsb:4096'],
    [2076, true, 'lsb:2048'],
    [256, true, 'lsb:256'],
    [0.08, false, 'm/s2'],
    [25.3, false, null],
  ])('%d (whole numbers: %s) is %s', (norm, isWhole, unit) => {
    expect(guessAccelUnit({ norm, mean: [0, 0, norm], spread: 0.01, blocks: 50 }, isWhole).unit).toBe(unit);
  });

  test('codes of no common part take their scale from the rest, and say so', () => {
    const guess = guessAccelUnit({ norm: 1366, mean: [0, 0, 1366], spread: 0.01, blocks: 50 }, true);
    expect(guess).toMatchObject({ unit: 'lsb:1366', warning: expect.stringContaining('no common part') });
  });
});

describe('gravity turns as the rates say', () => {
  test.each([
    ['deg/s', 1],
    ['rad/s', RAD],
    ['codes at 131', 131],
  ])('in %s', (_name, unitsPerDps) => {
    const [accel, gyro] = [vectors('accel'), vectors('gyro', unitsPerDps)];
    const turn = turnScale(
      column((s) => s.t * 1e6),
      accel,
      gyro,
      restLevel(accel),
      restLevel(gyro, accel),
    )!;
    expect(turn.degPerUnit * unitsPerDps).toBeCloseTo(1, 1);
    expect(turn.agreement).toBeGreaterThan(0.9);
  });

  test('a mirrored axis turns against them', () => {
    const [accel, gyro] = [vectors('accel'), vectors('gyro', -1)];
    const turn = turnScale(
      column((s) => s.t * 1e6),
      accel,
      gyro,
      restLevel(accel),
      restLevel(gyro, accel),
    )!;
    expect(turn.degPerUnit).toBeCloseTo(-1, 1);
  });

  test('at rest there is nothing to fit', () => {
    const still = take.slice(0, 100);
    const of = (axis: 0 | 1 | 2, kind: 'gyro' | 'accel') => Float64Array.from(still, (s) => s[kind][axis]);
    const accel = { x: of(0, 'accel'), y: of(1, 'accel'), z: of(2, 'accel') };
    const gyro = { x: of(0, 'gyro'), y: of(1, 'gyro'), z: of(2, 'gyro') };
    expect(
      turnScale(
        Float64Array.from(still, (s) => s.t * 1e6),
        accel,
        gyro,
        restLevel(accel),
        restLevel(gyro),
      ),
    ).toBeNull();
  });
});

describe('codes', () => {
  const inCodes = (samples: readonly Sample[], perG: number, perDps: number) =>
    `t,ax,ay,az,gx,gy,gz\n${rowsOf(samples, [time(), ...codes('accel', perG), ...codes('gyro', perDps)])}`;
  const unitsOf = async (text: string) => {
    const { mapping, report } = await previewLog([textSource(text)], {}, {});
    const unit = (role: string) => mapping.columns.find((own) => own.role === role)!.unit;
    return { accel: unit('accelX'), gyro: unit('gyroX'), warnings: report!.warnings.join('\n') };
  };

  // The range of the rates is not tied to that of acceleration: only the turning tells.
  test.each([
    [16_384, 16.4],
    [2048, 131],
    [4096, 65.5],
    [8192, 32.8],
    [2048, 28.57142857],
  ])('%d per g with %d per deg/s are told by the turning', async (perG, perDps) => {
    expect(await unitsOf(inCodes(take, perG, perDps))).toEqual({
      accel: `lsb:${perG}`,
      gyro: `lsb:${perDps}`,
      warnings: '',
    });
  });

  test('without turning the pairing is a guess that says so', async () => {
    const { gyro, warnings } = await unitsOf(inCodes(rollingTake(95, 100), 4096, 16.4));
    expect(gyro).toBe('lsb:32.8');
    expect(warnings).toContain('is a guess');
  });

  test('a stated range settles it', async () => {
    const { gyro, warnings } = await unitsOf(
      `# gyro range: 2000 dps\n${inCodes(rollingTake(95, 100), 4096, 16.4)}`,
    );
    expect(gyro).toBe('lsb:16.4');
    expect(warnings).not.toContain('is a guess');
  });
});

describe('a header that the data contradict', () => {
  const rows = rowsOf(take, [
    time(),
    ...[0, 1, 2].map((axis) => (s: Sample) => s.gyro[axis]!),
    ...[0, 1, 2].map((axis) => (s: Sample) => s.accel[axis]! * G),
  ]);

  test('says g but reads 9.8 at rest', async () => {
    const { report } = await previewLog(
      [textSource(`t,gx (deg/s),gy (deg/s),gz (deg/s),ax (g),ay (g),az (g)\n${rows}`)],
      {},
      {},
    );
    expect(report!.peakAccelG).toBeCloseTo(1, 1);
    expect(report!.warnings.join()).toContain('the column name says that acceleration is in g');
  });

  test('says rad/s but turns as deg/s', async () => {
    const { report } = await previewLog(
      [textSource(`t,gx (rad/s),gy (rad/s),gz (rad/s),ax (m/s2),ay (m/s2),az (m/s2)\n${rows}`)],
      {},
      {},
    );
    expect(report!.peakRateDps).toBeCloseTo(71.2, 0);
    expect(report!.warnings.join()).toContain('taken as °/s');
  });

  test('what the user states stands all the same', async () => {
    const text = `t,gx,gy,gz,ax,ay,az\n${rows}`;
    const { report } = await previewLog([textSource(text)], { gyroUnit: 'rad/s', accelUnit: 'g' }, {});
    expect(report!.peakRateDps).toBeGreaterThan(4000);
    expect(report!.peakAccelG).toBeCloseTo(9.8, 0);
    expect(report!.warnings.join()).toMatch(
      /your setting says rad\/s, but .* which fits °\/s: check the unit/,
    );
  });
});

describe('a spin too fast for how gravity turns is carried through, as Signal check does it', () => {
  const text = (
    header: string,
    cells: (row: (typeof SPIN)[number]) => readonly (string | number)[],
    rows = SPIN,
  ) => `${header}\n${rows.map((row) => [row.time, ...cells(row)].join(',')).join('\n')}\n`;
  const look = async (log: string) => {
    const { mapping, report } = await previewLog([textSource(log)], {}, {});
    const { unit, reason } = mapping.columns.find(({ role }) => role === 'gyroX')!;
    return { unit, reason, warnings: report!.warnings.join('\n') };
  };
  const HEADER = 't,ax,ay,az,gx,gy,gz';
  const coded = (values: readonly string[], per: number) =>
    values.map((value) => Math.round(Number(value) * per));

  test('the unit is proven, and nobody told that it is a guess', async () => {
    const found = await look(text(HEADER, ({ forces, rates }) => [...forces, ...rates]));
    expect(found).toMatchObject({ unit: 'rad/s', warnings: '' });
    expect(found.reason).toMatch(
      /gravity stays where it is \(slope 1(\.0\d)?, at least 95 %: 0\.9\d+ to 1(\.0\d+)?\)/,
    );
  });

  test('in the very figures of Signal check', async () => {
    const source = textSource(text(HEADER, ({ forces, rates }) => [...forces, ...rates]));
    const { mapping } = await previewLog([source], {}, {});
    const { gravity } = checkTake(await readTake([source], mapping, {}), mapping, null).data;
    const [slope, low, high] = [gravity.slope!, gravity.low!, gravity.high!].map((one) => figure(one));
    const { reason } = mapping.columns.find(({ role }) => role === 'gyroX')!;
    expect(reason).toContain(`(slope ${slope}, at least 95 %: ${low} to ${high})`);
  });

  // 4096 codes per g go with 32.8 per deg/s as a rule.
  test('codes of another range than usual are told', async () => {
    const perRad = (16.4 * 180) / Math.PI;
    const found = await look(
      text(HEADER, ({ forces, rates }) => [...coded(forces, 4096 / G), ...coded(rates, perRad)]),
    );
    expect(found).toMatchObject({ unit: 'lsb:16.4', warnings: '' });
  });

  test('rates whose sense is turned about contradict gravity', async () => {
    const found = await look(
      text(HEADER, ({ forces, rates }) => [...forces, ...rates.map((rate) => -Number(rate))]),
    );
    expect(found.warnings).toContain('gravity turns against the rates');
  });

  test('a rest proves nothing, and the guess says so', async () => {
    const found = await look(text(HEADER, ({ forces, rates }) => [...forces, ...rates], SPIN.slice(0, 150)));
    expect(found.warnings).toContain('is a guess: nothing in the log tests it against gravity');
  });

  test('acceleration without gravity proves nothing', async () => {
    const rest = [-0.58, 9.66, 0.975];
    const found = await look(
      text(HEADER, ({ forces, rates }) => [...forces.map((f, i) => 0.02 * (Number(f) - rest[i]!)), ...rates]),
    );
    expect(found.warnings).toContain('the unit of the rates is a guess');
  });
});
