import { describe, expect, test } from 'vitest';
import { STANDARD_GRAVITY_MPS2 } from '../../../server/engine/base/units.ts';
import { BladeFollower } from '../../../server/engine/motion/bladeFollower.ts';
import { tipSpeedMps } from '../../../server/engine/motion/signals.ts';
import { StillDetector } from '../../../server/engine/motion/stillMask.ts';
import { seededNormal } from '../../seeded.ts';

describe('a blade that turns steadily about an upright axis', () => {
  // ω²r: 1000 deg/s at 0.2 m is 6.2124664342 g, and so on [recomputed]
  test.each([
    [1000, 0.2, 6.2124664342],
    [2000, 0.2, 24.8498657],
    [500, 0.2, 1.5531166],
    [1000, 0.1, 3.1062332],
    [1500, 0.15, 10.4835371],
  ])('%d deg/s, sensor at %d m: it pulls with %d g, which is no thrust', (rateDps, leverArmM, pullG) => {
    const blade = new BladeFollower(1000, leverArmM);
    for (let n = 0; n < 500; ++n) blade.step(0, 0, rateDps, -pullG, 0, 1);
    expect(blade.rawThrustG).toBeCloseTo(-pullG - blade.upX, 12);
    expect(blade.thrustG + blade.upX).toBeCloseTo(0, 6);
  });

  // ω L [recomputed]
  test.each([
    [1000, 0.8, 13.962634],
    [1000, 0.9, 15.707963268],
    [1000, 1, 17.45329252],
    [2000, 1, 34.906585],
  ])('%d deg/s at %d m: the tip does %d m/s', (rateDps, lengthM, speed) => {
    expect(tipSpeedMps(rateDps, lengthM)).toBeCloseTo(speed, 6);
  });
});

test('gravity along the blade is no thrust, a push is', () => {
  const blade = new BladeFollower(100, 0.2);
  for (let n = 0; n < 100; ++n) blade.step(0, 0, 0, 0.6, 0, 0.8);
  expect(blade.thrustG).toBeCloseTo(0, 9);
  blade.step(0, 0, 0, 2.6, 0, 0.8);
  // one sample of 2 g moves the mean of gravity by less than 1 mg
  expect(blade.thrustG).toBeCloseTo(2, 2);
  expect(blade.rawThrustG).toBe(blade.thrustG);
});

test('the pull is f = ω × (ω × r): for ω = (1,2,3) rad/s and r = (0.2,0,0) m, -2.6 m/s² along the blade', () => {
  // -(ω_y² + ω_z²) r = -13 × 0.2 [exact]
  const deg = 180 / Math.PI;
  const blade = new BladeFollower(100, 0.2);
  blade.step(deg, 2 * deg, 3 * deg, 0, 0, 1);
  expect((blade.thrustG - blade.rawThrustG) * STANDARD_GRAVITY_MPS2).toBeCloseTo(2.6, 12);
});

test('after a reset it is as new, and a later sample changes nothing before it', () => {
  const normal = seededNormal(3);
  const samples = Array.from({ length: 300 }, () => Array.from({ length: 6 }, () => 200 * normal()));
  const run = (blade: BladeFollower, list: readonly (readonly number[])[]) =>
    list.map((s) => {
      blade.step(s[0]!, s[1]!, s[2]!, s[3]! / 200, s[4]! / 200, s[5]! / 200);
      return [blade.upX, blade.upY, blade.upZ, blade.thrustG, blade.rawThrustG, blade.isStill];
    });
  const whole = run(new BladeFollower(200, 0.3), samples);
  const used = new BladeFollower(200, 0.3);
  run(used, samples.toReversed());
  used.reset();
  expect(run(used, samples)).toEqual(whole);
  const other = run(new BladeFollower(200, 0.3), samples.with(150, [0, 0, 0, 0, 0, 0]));
  expect(other.slice(0, 150)).toEqual(whole.slice(0, 150));
  expect(other[150]).not.toEqual(whole[150]);
});

describe('stillness', () => {
  // one character per 100 ms at 10 Hz: '.' at rest, 'w' turning, 'f' pushed, '?' not a number; below: what it says
  test.each([
    ['told after half a second', '........', '....SSSS'],
    ['a turn ends it at once', '......w.....', '....SS.....S'],
    ['so does a push', '......f.....', '....SS.....S'],
    ['and a number that is none', '......?.....', '....SS.....S'],
    ['never while something moves', '....w....f....w', '...............'],
  ])('%s', (_, trace, expected) => {
    const still = new StillDetector(10);
    const rate = { '.': 0.5, w: 8, f: 0.5, '?': Number.NaN };
    const force = { '.': 1.01, w: 1, f: 1.07, '?': 1 };
    const told = [...trace].map((c) => still.step(rate[c as '.'], force[c as '.']));
    expect(told.map((isStill) => (isStill ? 'S' : '.')).join('')).toBe(expected);
    still.reset();
    expect(still.step(0, 1)).toBe(false);
  });

  test('at a rate below 2 Hz one sample is enough', () => {
    expect(new StillDetector(1).step(0, 1)).toBe(true);
  });
});
