import { describe, expect, test } from 'vitest';
import { computeBladePath, SETTLE_MS, sideAt, tipAt } from '../../../server/engine/motion/bladePath.ts';
import { fakeMotion } from '../fakeSignals.ts';

const RATE_HZ = 100;
const SECONDS = 4;
const still = new Float64Array(SECONDS * RATE_HZ);

/** A level blade: gravity along z of the body, whatever it does about z. */
function levelMotion(rateDps: ArrayLike<number>, options: Parameters<typeof fakeMotion>[1] = {}) {
  return {
    ...fakeMotion(rateDps, { rateHz: RATE_HZ, ...options }),
    accelZG: new Float64Array(rateDps.length).fill(1),
  };
}

const headingDeg = (tip: Float64Array) => (Math.atan2(tip[1]!, tip[0]!) * 180) / Math.PI;

describe('computeBladePath', () => {
  test('a blade that turns about the vertical at 90 °/s turns so, level, its side a quarter turn ahead', () => {
    const path = computeBladePath(levelMotion(still.map(() => 90)), 0);
    const start = headingDeg(tipAt(path, 0));
    for (const i of [50, 100, 150]) {
      const turned = (((headingDeg(tipAt(path, i)) - start) % 360) + 360) % 360;
      expect(turned).toBeCloseTo((90 * i) / RATE_HZ, 3);
      expect(tipAt(path, i)[2]).toBeCloseTo(0, 6);
      const [tip, side] = [tipAt(path, i).slice(), sideAt(path, i)];
      expect(tip[0]! * side[1]! - tip[1]! * side[0]!).toBeCloseTo(1, 6);
    }
  });

  test('a blade that swings to and fro in one plane is turned across the picture', () => {
    const rates = still.map((_, i) => 200 * Math.cos((2 * Math.PI * i) / RATE_HZ));
    const path = computeBladePath(levelMotion(rates), 0);
    // It swings by 32° to either side of where it points in the mean: that is to the right.
    for (let i = 0; i < still.length; ++i) {
      expect(tipAt(path, i)[0]).toBeGreaterThan(0.8);
      expect(Math.abs(headingDeg(tipAt(path, i)))).toBeLessThan(34);
    }
  });

  test('the first samples know what is known after half a second', () => {
    // The force is wrong for 0.1 s, as a swing's own pull is, and averages out in the half second.
    const motion = levelMotion(still);
    const accelXG = still.map((_, i) => (i < 10 ? 3 : i < 20 ? -3 : 0));
    const path = computeBladePath({ ...motion, accelXG }, 0);
    for (let i = 0; i < 50; ++i) expect(tipAt(path, i)[2]).toBeCloseTo(0, 6);
  });

  test('each stretch between gaps has a heading of its own, and one of a single sample is no trouble', () => {
    const segments = [
      { start: 0, end: 200 },
      { start: 200, end: 201 },
      { start: 201, end: 400 },
    ];
    const rates = still.map((_, i) => (i < 200 ? 10 : 0));
    const path = computeBladePath(levelMotion(rates, { segments }), 0);
    expect(headingDeg(tipAt(path, 200))).toBeCloseTo(0, 4);
    expect(headingDeg(tipAt(path, 399))).toBeCloseTo(0, 4);
    expect(path.q.every((part) => Number.isFinite(part))).toBe(true);
  });

  test('behind clipped rates the direction is unsure for a while, behind a clipped force it is not', () => {
    const length = 12 * RATE_HZ;
    const rates = Float64Array.from({ length }, (_, i) => (i >= 100 && i < 110 ? 1000 : 20));
    const marks = (from: number, to: number) => new Uint8Array(length).fill(1, from, to);
    const motion = levelMotion(rates);
    expect(computeBladePath({ ...motion, saturated: marks(105, 108) }, 0).unsure).toEqual([
      { startUs: 1_050_000, endUs: 1_070_000 + SETTLE_MS * 1000 },
    ]);
    expect(computeBladePath({ ...motion, saturated: marks(500, 510) }, 0).unsure).toEqual([]);
    expect(computeBladePath(motion, 0).unsure).toEqual([]);
  });
});
