import { describe, expect, test } from 'vitest';
import type { MotionColumns, UniformLog } from '../../../../server/engine/base/log.ts';
import { DEFAULT_CALIBRATION } from '../../../../server/engine/calibrate/calibration.ts';
import { stressTake } from '../../../../server/engine/choose/checkTake.ts';
import { GESTURE_PROBLEMS } from '../../../../server/engine/choose/gestures/gestureProblems.ts';
import { GESTURE_MAPS } from '../../../../server/engine/choose/gestures/maps.ts';
import {
  GESTURE_STRESSES,
  type GestureStress,
  motionsUnder,
} from '../../../../server/engine/choose/gestures/stressMotions.ts';
import type { GestureTake } from '../../../../server/engine/choose/gestures/take.ts';
import { computeMotion, type Motion } from '../../../../server/engine/motion/motion.ts';
import { computeSignals } from '../../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../../server/engine/settings/candidateRules.ts';
import { seededNormal } from '../../../seeded.ts';

const RATE_HZ = 100;
const ARM_M = 0.1;
const COLUMNS = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;

/** Two seconds of rest, then a twist of 60° in every second; the blade level. A gap after the fourth second. */
function twistLog(): UniformLog {
  const normal = seededNormal(5);
  const length = 9 * RATE_HZ;
  const column = (of: (s: number) => number, noise: number) =>
    Float64Array.from({ length }, (_, i) => of(i / RATE_HZ) + noise * normal());
  const twist = (s: number) => (s >= 2 && s % 1 < 0.4 ? 235.6 * Math.sin((Math.PI * (s % 1)) / 0.4) : 0);
  const gapAt = 4 * RATE_HZ;
  const columns = {
    gyroXDps: column(twist, 0.3),
    gyroYDps: column(() => 0, 0.3),
    gyroZDps: column((s) => (s > 2 ? 20 : 0), 0.3),
    accelXG: column(() => 0, 0.01),
    accelYG: column(() => 0, 0.01),
    accelZG: column(() => 1, 0.01),
  } satisfies MotionColumns;
  return {
    ...columns,
    rateHz: RATE_HZ,
    stepUs: 1e6 / RATE_HZ,
    timeUs: Float64Array.from({ length }, (_, i) => i * 10_000 + (i >= gapAt ? 500_000 : 0)),
    segments: [
      { start: 0, end: gapAt },
      { start: gapAt, end: length },
    ],
    saturated: new Uint8Array(length),
  };
}

const motion = computeMotion(twistLog(), { ...DEFAULT_CALIBRATION, bias: { knots: [] }, leverArmM: ARM_M });

const under = (name: GestureStress): Motion[] => motionsUnder(name, motion, ARM_M).map((make) => make());

describe('a take’s motion under stress', () => {
  test('an error that is none leaves it as it was', () => {
    // an arm stated 2 cm too long, and off by as much
    const [same] = motionsUnder('arm', motion, ARM_M + 0.02).map((make) => make());
    expect(pick(same!)).toEqual(pick(motion));
    for (const name of ['thrustUnsmoothedG', 'gravityXG', 'gravityYG', 'gravityZG'] as const)
      same![name].forEach((value, i) => {
        expect(Math.abs(value - motion[name][i]!)).toBeLessThan(1e-9);
      });
    expect(same!.stillMask).toEqual(motion.stillMask);
  });

  test.each([
    ['gyroMore', 'gyroXDps', 1.03],
    ['gyroLess', 'gyroZDps', 0.97],
    ['forceMore', 'accelZG', 1.03],
    ['forceLess', 'accelXG', 0.97],
  ] as const)('%s scales its own columns, and no other', (name, column, factor) => {
    const [stressed] = under(name);
    const isOwn = (one: string) => one.slice(0, 4) === column.slice(0, 4);
    for (const one of COLUMNS)
      for (let i = 0; i < motion.timeUs.length; i += 7)
        expect(stressed![one][i]).toBeCloseTo((isOwn(one) ? factor : 1) * motion[one][i]!, 9);
  });

  test('a mount that is off turns rates and forces by 5°, and changes no magnitude', () => {
    const four = under('mount');
    expect(four).toHaveLength(4);
    for (const one of four) {
      for (let i = 0; i < motion.timeUs.length; i += 11) {
        const [a, b] = [gyroAt(motion, i), gyroAt(one, i)];
        expect(Math.hypot(...b)).toBeCloseTo(Math.hypot(...a), 9);
        expect(Math.hypot(...forceAt(one, i))).toBeCloseTo(Math.hypot(...forceAt(motion, i)), 9);
      }
      // what turns about the blade alone shows how far: cos 5° of it stays there
      expect(one.gyroXDps[220]! / motion.gyroXDps[220]!).toBeCloseTo(Math.cos((5 * Math.PI) / 180), 1);
    }
    const leaks = four.map((one) => [one.gyroYDps[220]!, one.gyroZDps[220]! - motion.gyroZDps[220]!]);
    // in four directions: +y, −y, +z, −z
    expect(leaks.filter(([y, z]) => Math.abs(y!) > Math.abs(z!)).length).toBe(2);
    expect(leaks.some(([y]) => y! > 15) && leaks.some(([y]) => y! < -15)).toBe(true);
  });

  test('a bias of 2 °/s about the blade turns the twist by 2° in a second, either way', () => {
    const turned = under('bias').map((one) => twistAt(one, 399) - twistAt(motion, 399));
    // from the last rest on, which ends with the second second
    expect(turned[0]! / turned[1]!).toBeCloseTo(-1, 2);
    expect(Math.abs(turned[0]!)).toBeGreaterThan(2);
    expect(Math.abs(turned[0]!)).toBeLessThan(6);
    expect(turned.slice(2).every((deg) => Math.abs(deg) < 0.5)).toBe(true);
  });

  test('an arm off by 2 cm changes the thrust by its pull: 20 °/s give 0.25 mg', () => {
    const [less, more] = under('arm');
    const pullG = (0.02 * (20 * (Math.PI / 180)) ** 2) / 9.80665;
    const mean = (one: Motion) =>
      one.thrustUnsmoothedG
        .slice(300, 400)
        .reduce((sum, g, i) => sum + g - motion.thrustUnsmoothedG[300 + i]!, 0) / 100;
    expect(mean(more!)).toBeGreaterThan(0.8 * pullG);
    expect(mean(more!)).toBeLessThan(1.2 * pullG);
    expect(mean(less!)).toBeCloseTo(-mean(more!), 5);
  });

  test('half the rate keeps every second sample of each segment, from the first or the second on', () => {
    const [even, odd] = under('halfRate');
    expect([even!.rateHz, odd!.rateHz]).toEqual([50, 50]);
    expect(even!.segments).toEqual([
      { start: 0, end: 200 },
      { start: 200, end: 450 },
    ]);
    expect([even!.timeUs[200], odd!.timeUs[200]]).toEqual([motion.timeUs[400], motion.timeUs[401]]);
    expect([even!.gyroXDps[300], odd!.gyroXDps[300]]).toEqual([motion.gyroXDps[600], motion.gyroXDps[601]]);
  });

  test('noise has the strength that it is said to have', () => {
    const [noisy] = under('noise');
    const rms = (name: (typeof COLUMNS)[number]) =>
      Math.sqrt(motion[name].reduce((sum, value, i) => sum + (noisy![name][i]! - value) ** 2, 0) / 900);
    for (const name of COLUMNS.slice(0, 3)) expect(rms(name) / 3).toBeCloseTo(1, 0);
    for (const name of COLUMNS.slice(3)) expect(rms(name) / 0.02).toBeCloseTo(1, 0);
  });
});

describe('the verdicts under stress', () => {
  const { smoothing } = DEFAULT_CANDIDATE;
  const twists = [2, 3, 4.5, 5.5, 6.5, 7.5, 8.5].map((startS) => ({
    kind: 'twist' as const,
    startUs: startS * 1e6,
    endUs: (startS + 0.4) * 1e6,
    by: 'person' as const,
  }));
  const take: GestureTake = {
    id: 'a',
    title: 'A',
    performer: '',
    motion,
    signals: computeSignals(motion, DEFAULT_CANDIDATE, []),
    leverArmM: ARM_M,
    presses: [],
    labels: { presses: [], spans: [], swings: [], gestures: twists },
    truth: { swings: [] },
  };
  const problem = GESTURE_PROBLEMS.twist;
  const set = (angleDeg: number) => ({
    ...DEFAULT_CANDIDATE,
    twist: { ...DEFAULT_CANDIDATE.twist, angleDeg, windowMs: 600 },
  });

  test('with room to spare nothing flips; at the edge a gyro that reads less loses twists', () => {
    const clear = stressTake(problem, take, smoothing, set(45));
    expect(clear.map(({ name }) => name)).toEqual(GESTURE_STRESSES.twist);
    expect(clear.map(({ flips }) => flips)).toEqual([0, 0, 0, 0, 0, 0]);
    const tight = stressTake(problem, take, smoothing, set(59));
    const usual = problem.judge(take, set(59), take.signals);
    const hits = usual.filter(({ what, wrong }) => what === 'unit' && wrong === null).length;
    expect(hits).toBeGreaterThan(4);
    const less = tight.find(({ name }) => name === 'gyroLess')!;
    expect(less.flips).toBe(hits);
    expect(less.wrong.missed).toBe(twists.length);
  });

  test('of the variants of a stress, the worst counts', () => {
    const bias = stressTake(problem, take, smoothing, set(59)).find(({ name }) => name === 'bias')!;
    const each = motionsUnder('bias', motion, ARM_M).map((make) => {
      const signals = computeSignals(make(), DEFAULT_CANDIDATE, []);
      return problem.judge(take, set(59), signals).filter(({ wrong }) => wrong !== null).length;
    });
    expect(bias.wrong.missed + bias.wrong.again + bias.wrong.outside).toBe(Math.max(...each));
  });

  test('no stress of a map is one that it could not feel', () => {
    expect(GESTURE_STRESSES.twist).not.toContain('forceMore');
    for (const kind of GESTURE_MAPS) expect(new Set(GESTURE_STRESSES[kind]).size).toBeGreaterThan(4);
  });
});

function pick(of: Motion): Pick<Motion, (typeof COLUMNS)[number]> {
  const { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = of;
  return { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG };
}

function gyroAt(of: Motion, i: number): [number, number, number] {
  return [of.gyroXDps[i]!, of.gyroYDps[i]!, of.gyroZDps[i]!];
}

function forceAt(of: Motion, i: number): [number, number, number] {
  return [of.accelXG[i]!, of.accelYG[i]!, of.accelZG[i]!];
}

function twistAt(of: Motion, i: number): number {
  return computeSignals(of, DEFAULT_CANDIDATE, []).twistDeg[i]!;
}
