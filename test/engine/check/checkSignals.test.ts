import { describe, expect, test } from 'vitest';
import { simulateTake } from '../../../scripts/simulate/take.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { armReachM, mountOffDeg } from '../../../server/engine/check/lever.ts';
import { wordedCheck } from '../../../server/engine/words/check/check.ts';
import { ARM_M, check, complaints, drill, lineOf, mapColumns, sensor, take } from './checkedTakes.ts';

const GOOD = take();
const TRUE_PEAK_DPS = Math.max(...GOOD.truth.swings.map(({ peakDps }) => peakDps));

describe('a sound take', () => {
  const checked = check(GOOD.log);

  test('shows where its sensor sits, and that the mount which is set agrees', () => {
    const { data } = checked;
    // the hand goes along by a centimetre or two, so the turning point is not quite at rest
    expect(Math.abs(data.lever!.leverArmM / ARM_M - 1)).toBeLessThan(0.05);
    expect(mountOffDeg(data.lever!, DEFAULT_CALIBRATION.mount)).toBeLessThan(data.lever!.coneDeg);
    expect(armReachM(data.lever!)).toBeLessThan(0.02);
  });

  test.each([
    ['no lever arm', { leverArmM: 0 }, /0 m is set, which leaves 6\.\d g/],
    [
      'another axis as the tip',
      { mount: { tip: '-z', side: '+y' } },
      /The mount that is set has the blade \d+° away/,
    ],
  ] as const)('with %s set, says so', (_name, calibration, words) => {
    const line = lineOf(check(GOOD.log, { calibration }), 'lever');
    expect(line.state).toBe('caution');
    expect(line.finding).toMatch(words);
  });

  test('is fit: every line passes, and none gives advice', () => {
    expect(complaints(checked)).toEqual([]);
    expect(checked.verdict).toBe('fit');
    expect(wordedCheck(checked).headline).toBe('Signals fit.');
    expect(wordedCheck(checked).lines.filter(({ advice }) => advice !== '')).toEqual([]);
  });

  test('names the fastest swing where and as fast as the simulation has it', () => {
    const fastest = GOOD.truth.swings.find(({ peakDps }) => peakDps === TRUE_PEAK_DPS)!;
    // The true speed that the check reads is smoothed at 16 Hz: 2 % on a swing of 0.3 s.
    expect(Math.abs(checked.data.swings.peakDps / TRUE_PEAK_DPS - 1)).toBeLessThan(0.02);
    expect(Math.abs(checked.data.swings.peakUs - fastest.peakUs)).toBeLessThan(15_000);
  });

  test('tells what part of the work is done, and comes to the same', () => {
    const told: number[] = [];
    expect(check(GOOD.log, {}, (part) => told.push(part)).lines).toEqual(checked.lines);
    expect(told.length).toBeGreaterThanOrEqual(4);
    expect(told).toEqual([...told].sort((a, b) => a - b));
    for (const part of told) expect(part > 0 && part < 1).toBe(true);
  });

  test('gives the bias and the noise that the simulated sensor has', () => {
    const { gyroBiasDps, gyroNoiseDpsPerRootHz } = GOOD.truth.sensor;
    const [x, y, z] = lineOf(checked, 'bias')
      .finding.replaceAll('−', '-')
      .replaceAll(/ ± [0-9.]+/g, '')
      .split(' °/s')[0]!
      .split(', ')
      .map(Number);
    [x, y, z].forEach((part, k) => {
      expect(Math.abs(part! - gyroBiasDps[k]!)).toBeLessThan(0.02);
    });
    // read off a curve of 4 s, where white noise is known to a tenth or so; codes of 0.07 deg/s add a little
    const density = checked.data.noise!.gyro.densityPerRootHz!;
    expect(density / gyroNoiseDpsPerRootHz).toBeGreaterThan(0.8);
    expect(density / gyroNoiseDpsPerRootHz).toBeLessThan(1.4);
  });
});

describe('a log that has one fault', () => {
  test('gyro codes that end at 1998 °/s: the clipped peaks are named, and no speed is given as theirs', () => {
    const clipped = take({ peakDps: 2100, sensor: sensor({ codesPerUnit: 16.4 }) });
    const checked = check(clipped.log);
    const { timeUs, gyroYDps, gyroZDps } = clipped.log;
    const tooFast = clipped.truth.swings.filter(({ startUs, endUs }) =>
      timeUs.some((us, i) => {
        const isAtEnd = Math.max(Math.abs(gyroYDps[i]!), Math.abs(gyroZDps[i]!)) > 1997.9;
        return us >= startUs && us <= endUs && isAtEnd;
      }),
    ).length;
    const { finding, state } = lineOf(checked, 'clipping');
    expect(tooFast).toBeGreaterThan(5);
    expect(state).toBe('caution');
    expect(finding).toMatch(/gyro y is stuck at .*1998 °\/s .* gyro z is stuck at .*1998 °\/s/);
    expect(finding).toContain(`${tooFast} of ${clipped.truth.swings.length} swings`);
    expect(lineOf(checked, 'swings').finding).toContain(`${tooFast} went beyond the sensor’s range`);
    // of the sound swings none is faster than the simulation's fastest
    const { peakDps } = checked.data.swings;
    expect(peakDps).toBeLessThan(1.02 * Math.max(...clipped.truth.swings.map((one) => one.peakDps)));
    expect(checked.verdict).toBe('care');
  });

  test('one swing clipped at ±250 °/s for 30 samples: that swing is named, the others stand', () => {
    const gentle = take({ peakDps: 180 });
    const log = mapColumns(gentle.log, (column, key) => (key === 'gyroZDps' ? clipOne(column, 250) : column));
    const checked = check(log);
    // swings this gentle leave the lever arm unsure
    expect(complaints(checked).filter((one) => !one.startsWith('lever'))).toEqual(['clipping: caution']);
    expect(lineOf(checked, 'clipping').finding).toMatch(
      /^gyro z is stuck at [−]?250 °\/s in 30 samples, at .* 1 of \d+ swings peak/,
    );
  });

  test('bursts with 26 hours between: a break, and every swing as fast as before', () => {
    const half = GOOD.log.timeUs.length >> 1;
    const log = mapColumns(GOOD.log, (column, key) =>
      key === 'timeUs' ? column.map((us, i) => (i < half ? us : us + 26 * 3600e6)) : column,
    );
    const checked = check(log);
    expect(complaints(checked)).toEqual(['gaps: caution']);
    expect(wordedCheck(checked).headline).toMatch(/ Do not trust what lies in the gaps[^:·]*\.$/);
    expect(lineOf(checked, 'gaps').finding).toBe(
      '2 bursts with up to 26 h between them, 28.6 s recorded in all: no one long take.',
    );
    expect(Math.abs(checked.data.swings.peakDps / TRUE_PEAK_DPS - 1)).toBeLessThan(0.02);
  });

  test('25 Hz: hits cannot be seen, and no peak is higher than it was', () => {
    const slow = take({ rateHz: 25 });
    const checked = check(slow.log);
    expect(complaints(checked)).toEqual(expect.arrayContaining(['rate: caution', 'hits: caution']));
    expect(lineOf(checked, 'hits').finding).toContain('wholly between two samples');
    expect(checked.data.swings.peakDps).toBeLessThan(1.02 * TRUE_PEAK_DPS);
    expect(lineOf(checked, 'spikes').state).toBe('pass');
    expect(checked.verdict).toBe('care');
    expect(wordedCheck(checked).headline).toContain(
      'Signals fit, with care. Do not trust: peaks and dips of short swings · ',
    );
  });

  test('71 repeated stamps are told, and cost no peak', () => {
    const checked = check(GOOD.log, { facts: { duplicates: 71 } });
    expect(complaints(checked)).toEqual(['rows: caution']);
    expect(lineOf(checked, 'rows').finding).toContain('71 rows with a stamp that was there already');
  });

  test.each([
    [
      'rad/s taken for °/s',
      { x: Math.PI / 180, y: Math.PI / 180, z: Math.PI / 180 },
      'rad/s were read as °/s',
    ],
    [
      '°/s taken for rad/s',
      { x: 180 / Math.PI, y: 180 / Math.PI, z: 180 / Math.PI },
      '°/s were read as rad/s',
    ],
    ['a range taken for twice itself', { x: 2, y: 2, z: 2 }, 'reads too much'],
    ['a mirrored axis', { x: 1, y: -1, z: 1 }, 'The gyro’s y axis is mirrored'],
  ])('%s is caught and named', (_name, factors, words) => {
    const by: Readonly<Record<string, number>> = {
      gyroXDps: factors.x,
      gyroYDps: factors.y,
      gyroZDps: factors.z,
    };
    const log = mapColumns(GOOD.log, (column, key) =>
      by[key] === undefined ? column : column.map((dps) => dps * by[key]!),
    );
    const checked = check(log);
    expect(lineOf(checked, 'gravity').state).toBe('fail');
    expect(lineOf(checked, 'gravity').finding).toContain(words);
    expect(checked.verdict).toBe('unfit');
  });

  test('gyro columns that are swapped are caught and named', () => {
    const log = { ...GOOD.log, gyroXDps: GOOD.log.gyroYDps, gyroYDps: GOOD.log.gyroXDps };
    const { state, finding } = lineOf(check(log), 'gravity');
    expect(state).toBe('fail');
    expect(finding).toContain(
      'the accelerometer’s x turns with the gyro’s +y and y turns with the gyro’s +x',
    );
  });

  test('a take at rest proves no unit, and says so', () => {
    const log = mapColumns(GOOD.log, (column) => column.slice(0, 700));
    expect(lineOf(check(log), 'gravity').finding).toContain('Not tested');
  });

  test('a dead channel makes a take unfit', () => {
    const log = mapColumns(GOOD.log, (column, key) => (key === 'gyroYDps' ? column.map(() => 0) : column));
    const checked = check(log);
    expect(lineOf(checked, 'channels').finding).toBe('gyro y reads nothing but 0 throughout.');
    expect(checked.verdict).toBe('unfit');
    expect(wordedCheck(checked).headline).toContain('stuck channels');
  });

  test('a channel that stands still for a second in the midst of a swing is told', () => {
    const log = mapColumns(GOOD.log, (column, key) =>
      key === 'accelYG' ? column.map((g, i) => (i > 1240 && i < 1440 ? column[1240]! : g)) : column,
    );
    expect(complaints(check(log))).toContain('channels: caution');
  });

  test('a gyro of 50 Hz in a log of 200 Hz repeats its values', () => {
    const log = mapColumns(GOOD.log, (column, key) =>
      key.startsWith('gyro') ? column.map((_, i) => column[i - (i % 4)]!) : column,
    );
    const { state, finding } = lineOf(check(log), 'repeats');
    expect(state).toBe('caution');
    expect(finding).toContain('The gyro repeats 75 % of its values in motion: it reads about 50');
    expect(lineOf(check(log), 'clipping').state).toBe('pass');
  });

  test('a sample that leaps by 900 °/s and back is a spike, told with its moment', () => {
    const log = mapColumns(GOOD.log, (column, key) =>
      key === 'gyroXDps' ? column.map((dps, i) => (i === 3000 ? dps + 900 : dps)) : column,
    );
    expect(lineOf(check(log), 'spikes').finding).toContain('1 time: at 15.00 s');
  });

  test.each([
    ['m/s² taken for g', 9.80665, 'fail', 'm/s² taken for g'],
    ['a scale that is 8 % off', 1.08, 'caution', '% off 1 g'],
    ['acceleration without gravity', 0, 'caution', 'thrusts and stabs cannot'],
  ])('%s', (_name, factor, state, words) => {
    const log = mapColumns(GOOD.log, (column, key) =>
      key.startsWith('accel')
        ? column.map((g, i) => (factor === 0 ? 0.002 * Math.sin(i * i) : g * factor))
        : column,
    );
    const line = lineOf(check(log), 'restForce');
    expect(line.state).toBe(state);
    expect(line.finding).toContain(words);
  });

  test('a scale is not to be accepted where all rests have the same way up', () => {
    const log = mapColumns(GOOD.log, (column, key) =>
      key.startsWith('accel') ? column.map((g) => g * 1.08) : column,
    );
    expect(lineOf(check(log), 'restForce').advice).toMatch(/^Rest the prop on several sides/);
  });

  test('no rest at all: the bias is not known, and that is said', () => {
    const from = GOOD.log.timeUs.findIndex((us) => us >= 6.3e6);
    const log = mapColumns(GOOD.log, (column, key) => {
      const part = column.slice(from, from + 3200);
      return key === 'timeUs' ? part.map((us) => us - part[0]!) : part;
    });
    const checked = check(log);
    expect(complaints(checked)).toEqual(
      expect.arrayContaining(['bias: caution', 'noise: caution', 'restForce: caution']),
    );
  });

  test('stamps that jitter by 3 ms, and rows that are lost one by one', () => {
    const clock = { jitterUs: 3000, skewPpm: 0, stampStepUs: 1, lostRows: 60, lostRun: null };
    const plan = { rateHz: 100, sensor: sensor(), choreography: drill().finish(), seed: 3, clock };
    const { state, finding } = lineOf(check(simulateTake(plan).log), 'clock');
    expect(state).toBe('caution');
    expect(finding).toMatch(/single rows missing/);
  });

  test('a log without a clock says so', () => {
    const columns = [{ role: 'time', unit: 'counter' }];
    expect(lineOf(check(GOOD.log, { facts: { columns } }), 'clock').finding).toContain('no clock');
  });

  test('a hum of 31 Hz is named with its frequency', () => {
    const log = mapColumns(GOOD.log, (column, key) =>
      key === 'gyroYDps' ? column.map((dps, i) => dps + 9 * Math.sin((2 * Math.PI * 31 * i) / 200)) : column,
    );
    const { state, finding } = lineOf(check(log), 'spectrum');
    expect(state).toBe('caution');
    expect(finding).toMatch(/a hum of 6\.\d °\/s stands at 31(\.1)? Hz/);
  });
});

test('a take cut to pieces of a second is unfit', () => {
  const log = mapColumns(GOOD.log, (column, key) =>
    key === 'timeUs' ? column.map((us, i) => us + Math.floor(i / 200) * 300_000) : column,
  );
  expect(buildTimeBase(log).gaps.length).toBe(28);
  const checked = check(log);
  expect(lineOf(checked, 'gaps').state).toBe('fail');
  expect(checked.verdict).toBe('unfit');
});

/** Clips the column's longest hill so that 30 samples in a row stand at the end. */
function clipOne(column: Float64Array, limit: number): Float64Array {
  let top = 0;
  for (let i = 0; i < column.length; ++i) if (Math.abs(column[i]!) > Math.abs(column[top]!)) top = i;
  const sign = Math.sign(column[top]!);
  // the same swing, faster: scaled so that it passes the limit 15 samples before and after its top
  const scale = limit / Math.min(sign * column[top - 15]!, sign * column[top + 14]!);
  let [from, to] = [top, top];
  while (sign * column[from - 1]! > 10) --from;
  while (sign * column[to + 1]! > 10) ++to;
  return column.map((dps, i) => {
    if (i < from || i > to) return dps;
    return i >= top - 15 && i < top + 15 ? sign * limit : sign * Math.min(0.97 * limit, sign * dps * scale);
  });
}
