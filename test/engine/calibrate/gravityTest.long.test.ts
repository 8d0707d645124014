import { describe, expect, test } from 'vitest';
import { Choreography } from '../../../scripts/simulate/choreography.ts';
import { carry, loopingEight, lyingEight, onStand, swing, twist } from '../../../scripts/simulate/moves.ts';
import { idealSensor, type SensorModel } from '../../../scripts/simulate/sensor.ts';
import { simulateTake } from '../../../scripts/simulate/take.ts';
import type { UniformLog } from '../../../server/engine/base/log.ts';
import { type AxisName, listMounts } from '../../../server/engine/base/mount.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { estimateBias, removeBias } from '../../../server/engine/calibrate/bias.ts';
import { testGravity } from '../../../server/engine/calibrate/gravityTest.ts';
import { applyMount } from '../applyMount.ts';
import { uniformLog } from '../uniformLogs.ts';

/** An untrimmed sensor 0.25 m from the turning point. */
const SENSOR: SensorModel = {
  ...idealSensor([0.25, 0.005, -0.005]),
  gyro: { bias: [1, -2, 0.5], driftPerMin: 0.2, noiseDensity: 0.01, bandwidthHz: 90, codesPerUnit: 16.4 },
  accel: {
    bias: [0.02, -0.03, 0.015],
    driftPerMin: 0,
    noiseDensity: 2e-4,
    bandwidthHz: 150,
    codesPerUnit: 1024,
  },
};

const MOVES: Readonly<Record<string, (c: Choreography) => void>> = {
  'carried about, with twists of the wrist': (c) => {
    carry(c, 6);
    for (let k = 0; k < 8; ++k) {
      twist(c, k % 2 === 0 ? 80 : -80, 0.35);
      c.wait(0.4);
    }
    c.moveTo({ tilt: 50 }, 0.8);
    c.moveTo({ tilt: -20 }, 0.8);
  },
  'whole loops at 720 deg/s': (c) => loopingEight(c, { dps: 720, durationS: 16 }),
  'a lying figure-eight': (c) => {
    lyingEight(c, { azimuthDeg: 70, elevationDeg: 25, hz: 1.2, durationS: 16 });
  },
};

type Rate = readonly [number, number, number];

function logOf(move: (c: Choreography) => void, seed = 5): UniformLog {
  const c = new Choreography(seed);
  c.startAt({ heading: 20, tilt: -20, bank: 30 });
  onStand(c, 2);
  c.takeInHand();
  c.wait(1);
  move(c);
  c.wait(1);
  const { log } = simulateTake({ rateHz: 200, sensor: SENSOR, choreography: c.finish(), seed });
  const { uniform } = buildTimeBase(log);
  return removeBias(uniform, estimateBias(uniform));
}

function withRates(log: UniformLog, change: (rate: Rate) => Rate): UniformLog {
  const rates = log.timeUs.map((_, i) => i);
  const changed = Array.from(rates, (i) => change([log.gyroXDps[i]!, log.gyroYDps[i]!, log.gyroZDps[i]!]));
  const column = (axis: 0 | 1 | 2) => Float64Array.from(changed, (rate) => rate[axis]);
  return { ...log, gyroXDps: column(0), gyroYDps: column(1), gyroZDps: column(2) };
}

describe.each(Object.entries(MOVES))('%s', (_, move) => {
  const log = logOf(move);

  test('as it is: the slope is 1 within 3 %, and nearly all is explained', () => {
    const seen = testGravity(log);
    expect(seen.verdict).toBe('ok');
    expect(Math.abs(seen.slope! - 1)).toBeLessThan(0.03);
    expect(seen.fit).toBeGreaterThan(0.98);
    expect(seen.gyroAxes).toEqual(['+x', '+y', '+z']);
  });

  test.each([
    ['in radians per second, read as degrees', Math.PI / 180, 'unit', 180 / Math.PI],
    ['in degrees per second, read as radians', 180 / Math.PI, 'unit', Math.PI / 180],
    ['of twice the range that was assumed', 0.5, 'scale', 2],
    ['of half the range that was assumed', 2, 'scale', 0.5],
    ['15 % too large, as codes of a part of another make', 1.147, 'scale', 1 / 1.147],
    ['3 % too large: its tolerance', 1.03, 'ok', 1 / 1.03],
  ] as const)('rates %s', (_name, factor, verdict, slope) => {
    const seen = testGravity(withRates(log, (rate) => rate.map((part) => part * factor) as unknown as Rate));
    expect(seen.verdict).toBe(verdict);
    expect(Math.abs(seen.slope! / slope - 1)).toBeLessThan(0.05);
    expect(seen.low!).toBeLessThanOrEqual(seen.slope!);
    expect(seen.high!).toBeGreaterThanOrEqual(seen.slope!);
  });

  test.each<[string, (rate: Rate) => Rate, [AxisName, AxisName, AxisName]]>([
    ['x mirrored', ([x, y, z]) => [-x, y, z], ['-x', '+y', '+z']],
    ['y mirrored', ([x, y, z]) => [x, -y, z], ['+x', '-y', '+z']],
    ['z mirrored', ([x, y, z]) => [x, y, -z], ['+x', '+y', '-z']],
    ['all mirrored', ([x, y, z]) => [-x, -y, -z], ['-x', '-y', '-z']],
    ['x and z swapped', ([x, y, z]) => [z, y, x], ['+z', '+y', '+x']],
    ['turned about, as a gyro of its own', ([x, y, z]) => [z, x, y], ['+y', '+z', '+x']],
    ['swapped and in radians', ([x, y, z]) => [y / 57.3, x / 57.3, z / 57.3], ['+y', '+x', '+z']],
  ])('axes %s', (_name, change, gyroAxes) => {
    const seen = testGravity(withRates(log, change));
    expect(seen.verdict).toBe('axes');
    expect(seen.gyroAxes).toEqual(gyroAxes);
  });
});

describe('an accelerometer that is wired another way looks like a gyro that is', () => {
  const log = logOf(MOVES['carried about, with twists of the wrist']!);
  const minus = (column: Float64Array) => column.map((v) => -v);

  test.each<[string, Partial<UniformLog>, AxisName[]]>([
    ['x mirrored: the gyro’s y and z', { accelXG: minus(log.accelXG) }, ['+x', '-y', '-z']],
    ['y mirrored: the gyro’s x and z', { accelYG: minus(log.accelYG) }, ['-x', '+y', '-z']],
    ['z mirrored: the gyro’s x and y', { accelZG: minus(log.accelZG) }, ['-x', '-y', '+z']],
    ['x and y swapped', { accelXG: log.accelYG, accelYG: log.accelXG }, ['-y', '-x', '-z']],
    [
      'z of both mirrored, a left-handed frame: all three',
      { accelZG: minus(log.accelZG), gyroZDps: minus(log.gyroZDps) },
      ['-x', '-y', '-z'],
    ],
  ])('%s', (_name, changed, gyroAxes) => {
    const seen = testGravity({ ...log, ...changed });
    expect(seen.verdict).toBe('axes');
    expect(seen.gyroAxes).toEqual(gyroAxes);
    expect(seen.axes.map(({ state }) => state)).not.toContain('untested');
  });
});

describe('one axis alone', () => {
  test('that reads 30 % too much is named, with its slope', () => {
    const about = Array.from({ length: 12 }, (_, k) => (k % 2 === 0 ? ('x' as const) : 'y'));
    const seen = testGravity(withRates(turned(...about), ([x, y, z]) => [1.3 * x, y, z]));
    expect(seen.verdict).toBe('scale');
    expect(seen.axes.map(({ state }) => state)).toEqual(['scale', 'proven', 'untested']);
    expect(Math.abs(seen.axes[0].slope!.slope - 1 / 1.3)).toBeLessThan(0.03);
  });

  test('as it is has a slope of 1 within 6 %', () => {
    for (const { state, slope } of testGravity(logOf(MOVES['a lying figure-eight']!)).axes) {
      expect(state).toBe('proven');
      expect(Math.abs(slope!.slope - 1)).toBeLessThan(0.06);
    }
  });
});

/** Turns from a formula, one after the other: about x and back, about y and back, or about z while z stands upright. */
function turned(...about: readonly ('x' | 'y' | 'z')[]): UniformLog {
  const [part, rateHz] = [1000, 200];
  const angle = (n: number) => (Math.PI / 4) * (1 - Math.cos((2 * Math.PI * n) / part));
  const rate = (n: number) => 90 * (Math.PI / (part / rateHz)) * Math.sin((2 * Math.PI * n) / part);
  const of = (n: number) => ({ axis: about[Math.floor(n / part)], n: n % part });
  const when = (n: number, axis: string, value: number) => (of(n).axis === axis ? value : 0);
  const upG = (n: number) => (of(n).axis === 'z' ? 1 : Math.cos(angle(of(n).n)));
  return uniformLog(
    part * about.length,
    {
      gyroXDps: (n) => when(n, 'x', rate(of(n).n)),
      gyroYDps: (n) => when(n, 'y', rate(of(n).n)),
      gyroZDps: (n) => when(n, 'z', 4 * rate(of(n).n)),
      accelXG: (n) => -when(n, 'y', Math.sin(angle(of(n).n))),
      accelYG: (n) => when(n, 'x', Math.sin(angle(of(n).n))),
      accelZG: upG,
    },
    { rateHz },
  );
}

describe('an axis that gravity cannot tell of is said to be untested', () => {
  const states = (log: UniformLog) => testGravity(log).axes.map(({ state }) => state);
  const log = turned('x', 'y', 'z', 'x', 'z');

  test('z, turned about only while it stood upright', () => {
    expect(states(log)).toEqual(['proven', 'proven', 'untested']);
    const { verdict, axes } = testGravity(log);
    expect(verdict).toBe('ok');
    expect(axes[2].spunDeg).toBeGreaterThan(1000);
    expect(axes[2].turnedDeg).toBeLessThan(1);
  });

  test.each<[string, (rate: Rate) => Rate, string[]]>([
    ['z, mirrored', ([x, y, z]) => [x, y, -z], ['proven', 'proven', 'untested']],
    ['z, where x is mirrored', ([x, y, z]) => [-x, y, z], ['mirrored', 'proven', 'untested']],
    ['z, where y is mirrored', ([x, y, z]) => [x, -y, z], ['proven', 'mirrored', 'untested']],
  ])('%s', (_name, change, wanted) => {
    expect(states(withRates(log, change))).toEqual(wanted);
  });

  test.each<[string, (rate: Rate) => Rate]>([
    ['as they are', (rate) => rate],
    ['y mirrored', ([x, y, z]) => [x, -y, z]],
    ['z mirrored', ([x, y, z]) => [x, y, -z]],
    ['y and z swapped', ([x, y, z]) => [x, z, y]],
  ])('y and z, where the prop turns about x alone: %s', (_name, change) => {
    const seen = testGravity(withRates(turned('x', 'x', 'x'), change));
    expect(seen.verdict).toBe('ok');
    expect(seen.axes.map(({ state }) => state)).toEqual(['proven', 'untested', 'untested']);
  });

  test('all, turned about z alone while it stands upright; but a turn that gravity does not follow is told', () => {
    const level = turned('z', 'z', 'z');
    expect(testGravity(level).verdict).toBe('tooLittle');
    const swapped = testGravity(withRates(level, ([x, y, z]) => [z, y, x]));
    expect(swapped.verdict).toBe('disagree');
  });
});

test('one quarter turn about each axis in ten minutes at rest is found', () => {
  const rest = { accelZG: () => 1 };
  const still = uniformLog(60_000, rest, { rateHz: 200 });
  const turns = turned('x', 'y');
  const join = (a: Float64Array, b: Float64Array) => Float64Array.from([...a, ...b, ...a]);
  const columns = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;
  const length = 2 * 60_000 + turns.timeUs.length;
  const long = {
    ...still,
    timeUs: Float64Array.from({ length }, (_, i) => i * 5000),
    saturated: new Uint8Array(length),
    segments: [{ start: 0, end: length }],
    ...Object.fromEntries(columns.map((key) => [key, join(still[key], turns[key])])),
  } as UniformLog;
  expect(testGravity(long).axes.map(({ state }) => state)).toEqual(['proven', 'proven', 'untested']);
});

test('whatever the mount, which turns both alike, the verdict is the same', () => {
  const log = logOf(MOVES['whole loops at 720 deg/s']!);
  const { slope } = testGravity(log);
  for (const mount of listMounts().filter((_, k) => k % 5 === 0)) {
    const seen = testGravity(applyMount(log, mount));
    expect(seen.verdict).toBe('ok');
    expect(seen.slope!).toBeCloseTo(slope!, 6);
  }
});

describe.each([1, 2, 3])('swings out and back in one plane (take %d)', (seed) => {
  const log = logOf((c) => {
    for (let k = 0; k < 14; ++k) {
      swing(c, k % 2 === 0 ? 120 : -120, 0.3);
      c.wait(0.4);
    }
  }, seed);
  const seen = testGravity(log);

  test('show the slope, less sharply, with an interval that says so', () => {
    expect(seen.verdict).toBe('ok');
    expect(Math.abs(seen.slope! - 1)).toBeLessThan(0.05);
    expect(seen.low!).toBeLessThan(1);
    expect(seen.high!).toBeGreaterThan(1);
  });

  test('count for the axis they turn about, and not for the other two', () => {
    // fourteen swings of 120°, in a plane that stands askew: gravity moves by most of that
    expect(seen.axes[2].turnedDeg).toBeGreaterThan(900);
    expect(seen.axes[2].turnedDeg).toBeLessThan(14 * 120);
    expect(Math.max(seen.axes[0].turnedDeg, seen.axes[1].turnedDeg)).toBeLessThan(60);
  });
});

test('turns about gravity itself count for nothing', () => {
  const spun = uniformLog(4000, { gyroZDps: (n) => (n > 600 && n < 3400 ? 200 : 0), accelZG: () => 1 });
  expect(Math.max(...testGravity(spun).axes.map(({ turnedDeg }) => turnedDeg))).toBe(0);
});

describe('a log that cannot tell', () => {
  test('at rest: too little', () => {
    const rest = uniformLog(4000, { accelZG: () => 1 });
    expect(testGravity(rest).verdict).toBe('tooLittle');
    expect(testGravity(rest).slope).toBeNull();
  });

  test.each([0.9, 1.1])('at rest with an accelerometer that reads %f g: too little', (restG) => {
    const rest = uniformLog(4000, { accelXG: () => 0.6 * restG, accelZG: () => 0.8 * restG });
    expect(testGravity(rest).verdict).toBe('tooLittle');
  });

  test.each([0, 1, 100])('%d samples: too little', (length) => {
    expect(testGravity(uniformLog(length, { accelZG: () => 1 })).verdict).toBe('tooLittle');
  });

  test('a force that goes its own way: unclear', () => {
    const log = logOf(MOVES['a lying figure-eight']!);
    const { length } = log.timeUs;
    const backward = {
      accelXG: log.accelXG.toReversed(),
      accelYG: log.accelYG.toReversed(),
      accelZG: log.accelZG.toReversed(),
    };
    expect(length).toBeGreaterThan(0);
    const seen = testGravity({ ...log, ...backward });
    expect(seen.verdict).toBe('unclear');
    expect(seen.slope).toBeNull();
  });
});
