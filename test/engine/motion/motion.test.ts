import { describe, expect, test } from 'vitest';
import type { MotionColumns, UniformLog } from '../../../server/engine/base/log.ts';
import { listMounts } from '../../../server/engine/base/mount.ts';
import { estimateBias } from '../../../server/engine/calibrate/bias.ts';
import { type Calibration, DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { BladeFollower } from '../../../server/engine/motion/bladeFollower.ts';
import {
  computeCandidateMotion,
  computeMotion,
  computeSensedMotion,
  type Motion,
} from '../../../server/engine/motion/motion.ts';
import { applyMount } from '../applyMount.ts';
import { headOf, uniformLog, wildLog } from '../uniformLogs.ts';

const NO_BIAS: Calibration = { ...DEFAULT_CALIBRATION, bias: { knots: [] }, leverArmM: 0.2 };
const COLUMNS = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;
/** All that is known at a sample without looking ahead. */
const CAUSAL = [
  ...COLUMNS,
  'gravityXG',
  'gravityYG',
  'gravityZG',
  'rawThrustG',
  'thrustUnsmoothedG',
  'stillMask',
] as const satisfies readonly (keyof Motion)[];

test('is the follower of a blade, fed sample by sample, bit for bit', () => {
  const log = wildLog(1, 900, { stillSamples: 200 });
  const motion = computeMotion(log, NO_BIAS);
  const blade = new BladeFollower(log.rateHz, 0.2);
  for (let i = 0; i < 900; ++i) {
    const [gx, gy, gz] = [log.gyroXDps[i]!, log.gyroYDps[i]!, log.gyroZDps[i]!];
    blade.step(gx, gy, gz, log.accelXG[i]!, log.accelYG[i]!, log.accelZG[i]!);
    expect(motion.gravityXG[i]).toBe(blade.upX);
    expect(motion.gravityYG[i]).toBe(blade.upY);
    expect(motion.gravityZG[i]).toBe(blade.upZ);
    expect(motion.rawThrustG[i]).toBe(blade.rawThrustG);
    expect(motion.thrustUnsmoothedG[i]).toBe(blade.thrustG);
    expect(motion.stillMask[i]).toBe(blade.isStill ? 1 : 0);
  }
  expect(motion.stillMask.includes(1)).toBe(true);
});

test('what is computed of it alone is what the whole has, bit for bit', () => {
  const segments = [
    { start: 0, end: 400 },
    { start: 400, end: 900 },
  ];
  const log = wildLog(5, 900, { stillSamples: 200, segments });
  const whole = computeMotion(log, NO_BIAS);
  const candidate = computeCandidateMotion(log, NO_BIAS);
  expect(whole).toMatchObject(candidate);
  expect(candidate).toMatchObject(computeSensedMotion(log, NO_BIAS));
  expect(Object.keys(candidate)).toEqual(
    expect.arrayContaining(['trueSpeedDps', 'thrustUnsmoothedG', 'stillMask']),
  );
  expect(candidate.stillMask.includes(1)).toBe(true);
});

test.each([1, 2, 99, 100, 101, 640])(
  'what stands at a sample does not depend on what follows: cut after %d',
  (end) => {
    const segments = [
      { start: 0, end: 100 },
      { start: 100, end: 700 },
    ];
    const log = wildLog(2, 700, { segments });
    const [whole, head] = [computeMotion(log, NO_BIAS), computeMotion(headOf(log, end), NO_BIAS)];
    for (const name of CAUSAL) expect(head[name], name).toEqual(whole[name].slice(0, end));
  },
);

test('behind a gap everything starts anew', () => {
  const log = wildLog(3, 600, {
    segments: [
      { start: 0, end: 250 },
      { start: 250, end: 600 },
    ],
  });
  const whole = computeMotion(log, NO_BIAS);
  const tail = { ...log, segments: [{ start: 0, end: 350 }], timeUs: log.timeUs.slice(250) };
  const cut = Object.fromEntries(COLUMNS.map((name) => [name, log[name].slice(250)]));
  const alone = computeMotion({ ...tail, ...(cut as unknown as MotionColumns) }, NO_BIAS);
  for (const name of [...CAUSAL, 'trueSpeedDps'] as const)
    expect(alone[name], name).toEqual(whole[name].slice(250));
});

describe('calibration', () => {
  const log = wildLog(4, 800, { stillSamples: 400 });

  test('takes the bias off in the log’s own frame, whatever the mount', () => {
    const biased: UniformLog = {
      ...log,
      gyroXDps: log.gyroXDps.map((v) => v + 3),
      gyroYDps: log.gyroYDps.map((v) => v - 2),
    };
    const bias = { knots: [{ timeUs: 0, xDps: 3, yDps: -2, zDps: 0 }] };
    for (const mount of listMounts()) {
      const [plain, clean] = [
        computeMotion(log, { ...NO_BIAS, mount }),
        computeMotion(biased, { ...NO_BIAS, mount, bias }),
      ];
      for (const name of COLUMNS)
        for (let i = 0; i < 800; i += 50) expect(clean[name][i]!).toBeCloseTo(plain[name][i]!, 10);
    }
  });

  test('auto takes off what the still stretches show', () => {
    const biased: UniformLog = { ...log, gyroZDps: log.gyroZDps.map((v) => v + 5) };
    const track = estimateBias(biased);
    expect(track.knots.length).toBeGreaterThan(0);
    const auto = computeMotion(biased, { ...NO_BIAS, bias: 'auto' });
    expect(auto).toEqual(computeMotion(biased, { ...NO_BIAS, bias: track }));
    // noise of 0.2 deg/s over 400 samples of rest
    expect(Math.abs(auto.gyroZDps[10]! - log.gyroZDps[10]!)).toBeLessThan(0.05);
  });

  test('the mount turns rates and forces', () => {
    const mount = { tip: '-z', side: '+x' } as const;
    const turned = applyMount(log, mount);
    const motion = computeMotion(log, { ...NO_BIAS, mount });
    for (const name of COLUMNS) expect(motion[name]).toEqual(turned[name]);
    expect(motion.gyroXDps[600]).toBe(-log.gyroZDps[600]!);
    expect(motion.accelYG[600]).toBe(log.accelXG[600]!);
  });

  test('the scale multiplies the force only', () => {
    const motion = computeMotion(log, { ...NO_BIAS, accelScale: 1.25 });
    for (let i = 0; i < 800; i += 37) {
      expect(motion.accelYG[i]!).toBeCloseTo(1.25 * log.accelYG[i]!, 14);
      expect(motion.gyroYDps[i]).toBe(log.gyroYDps[i]);
    }
  });

  test('the log itself stays as it is', () => {
    const before = structuredClone(log);
    computeMotion(log, { ...DEFAULT_CALIBRATION, accelScale: 2, mount: { tip: '-y', side: '+z' } });
    computeMotion(log, DEFAULT_CALIBRATION);
    expect(log).toEqual(before);
  });
});

describe('little to go by', () => {
  test('no sample gives empty columns', () => {
    const motion = computeMotion(uniformLog(0), DEFAULT_CALIBRATION);
    for (const name of [...CAUSAL, 'trueSpeedDps'] as const) expect(motion[name].length, name).toBe(0);
  });

  test('one sample: up is its force', () => {
    const log = uniformLog(1, {
      gyroZDps: () => 30,
      gyroYDps: () => -40,
      accelXG: () => 0.6,
      accelZG: () => 0.8,
    });
    const motion = computeMotion({ ...log, rateHz: 1, stepUs: 1e6 }, DEFAULT_CALIBRATION);
    expect([motion.gravityXG[0]!, motion.gravityYG[0]!, motion.gravityZG[0]!]).toEqual([0.6, 0, 0.8]);
    expect(motion.trueSpeedDps[0]!).toBeCloseTo(50, 9);
    expect(motion.thrustUnsmoothedG[0]!).toBeCloseTo(0, 12);
  });

  test('a log of zeros, as of an accelerometer that is not there, gives numbers', () => {
    const motion = computeMotion(uniformLog(300), DEFAULT_CALIBRATION);
    for (const name of CAUSAL)
      expect(
        motion[name].every((v) => Number.isFinite(v)),
        name,
      ).toBe(true);
    expect(motion.gravityZG[299]).toBe(1);
  });

  test.each([5, 20, 50])('a log of %d Hz', (rateHz) => {
    const motion = computeMotion(wildLog(6, 200, { rateHz }), NO_BIAS);
    for (const name of [...CAUSAL, 'trueSpeedDps'] as const)
      expect(
        motion[name].every((v) => Number.isFinite(v)),
        name,
      ).toBe(true);
  });
});
