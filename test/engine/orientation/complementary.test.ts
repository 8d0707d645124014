import { describe, expect, test } from 'vitest';
import {
  identityQuat,
  type Quat,
  quatFromVectorRad,
  rotateByQuat,
} from '../../../server/engine/base/quat.ts';
import { DEG_PER_RAD, RAD_PER_DEG } from '../../../server/engine/base/units.ts';
import { OrientationFilter } from '../../../server/engine/orientation/gravityFilter.ts';
import { conjugateQuat } from '../../reference/conjugateQuat.ts';
import { madgwickStep } from '../../reference/madgwick.ts';
import { mahonyStep } from '../../reference/mahony.ts';

const TILTED = [0, Math.sin(30 * RAD_PER_DEG), Math.cos(30 * RAD_PER_DEG)] as const;
type Four = [number, number, number, number];

describe('the gradient filter that stands beside ours (Madgwick 2010; values recomputed with an independent library)', () => {
  const run = (steps: number): Four => {
    let q: Four = [1, 0, 0, 0];
    for (let i = 0; i < steps; ++i) q = madgwickStep(q, [0, 0, 0], TILTED, 0.1, 0.01);
    return q;
  };
  test('one step from level toward 30 degrees, beta 0.1, 10 ms', () => {
    const expected = [0.9999995, 0.001, 0, 0];
    run(1).forEach((part, i) => {
      expect(part).toBeCloseTo(expected[i]!, 6);
    });
  });
  test('after 2000 steps it circles within 2 beta dt = 0.115 degrees of 30', () => {
    expect(2 * Math.atan2(run(2000)[1], run(2000)[0]) * DEG_PER_RAD).toBeCloseTo(29.9274627, 6);
  });
  test('a gradient of exactly zero divides by nothing', () => {
    expect(madgwickStep([1, 0, 0, 0], [0, 0, 0], [0, 0, 1], 0.1, 0.01)).toEqual([1, 0, 0, 0]);
  });
});

describe('the complementary filter that stands beside ours (Mahony, Hamel and Pflimlin 2008; cited from memory)', () => {
  test('a small tilt decays as exp(-kp t): to 1/e in 2 s at kp = 0.5', () => {
    let q: Quat = quatFromVectorRad(5 * RAD_PER_DEG, 0, 0);
    for (let i = 0; i < 2000; ++i) q = mahonyStep(q, [0, 0, 0], [0, 0, 1], 0.5, 0.001);
    const tiltDeg = 2 * Math.acos(q[0]!) * DEG_PER_RAD;
    // sin e in place of e: 5 degrees decay slower by less than a part in 500.
    expect(tiltDeg / 5).toBeCloseTo(Math.exp(-1), 2);
  });
});

test('all three find the same up while a prop rolls slowly to and fro', () => {
  const rateHz = 200;
  const ours = new OrientationFilter(rateHz);
  let gradient: Four = [1, 0, 0, 0];
  let complementary: Quat = identityQuat();
  let worstDeg = 0;
  for (let i = 0; i < 20 * rateHz; ++i) {
    const t = i / rateHz;
    const rollRad = 0.6 * Math.sin(0.8 * t);
    const rateRadps = 0.48 * Math.cos(0.8 * t);
    const force = [0, Math.sin(rollRad), Math.cos(rollRad)] as const;
    ours.step(rateRadps * DEG_PER_RAD, 0, 0, ...force);
    gradient = madgwickStep(gradient, [rateRadps, 0, 0], force, 0.05, 1 / rateHz);
    complementary = mahonyStep(complementary, [rateRadps, 0, 0], force, 0.5, 1 / rateHz);
    const up = Float64Array.of(ours.upX, ours.upY, ours.upZ);
    for (const q of [Float64Array.from(gradient), complementary])
      worstDeg = Math.max(worstDeg, angleDeg(up, upOf(q)));
  }
  expect(worstDeg).toBeLessThan(0.5);
});

function upOf(q: Quat): Float64Array {
  return rotateByQuat(conjugateQuat(q), 0, 0, 1);
}

function angleDeg(a: Float64Array, b: Float64Array): number {
  const dot = a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
  return Math.acos(Math.min(1, dot)) * DEG_PER_RAD;
}
