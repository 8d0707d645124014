import { describe, expect, test } from 'vitest';
import type { UniformLog } from '../../../server/engine/base/log.ts';
import { findStillStretches } from '../../../server/engine/calibrate/stillness.ts';
import { biasWander, measureRest } from '../../../server/engine/check/rest.ts';
import { seededNormal } from '../../seeded.ts';
import { uniformLog } from '../uniformLogs.ts';

const RATE_HZ = 100;

interface Hold {
  /** Peak of a slow sway about the level y, at 0.3 Hz. */
  readonly swayDps: number;
  /** Root mean square of tremor at 9 Hz. */
  readonly tremorDps: number;
}

/** Three seconds on a table, swings, a hold of `holdS` from 6 s on, swings, two seconds on the table. */
function heldLog(holdS: number, { swayDps, tremorDps }: Hold, seed: number): UniformLog {
  const normal = seededNormal(seed);
  const at = (n: number) => n / RATE_HZ;
  const onTable = (n: number) => at(n) < 3 || at(n) >= 12;
  const inHold = (n: number) => at(n) >= 6 && at(n) < 6 + holdS;
  const phase = (n: number) => 2 * Math.PI * 0.3 * (at(n) - 6);
  const hold = (n: number) =>
    swayDps * Math.cos(phase(n)) + tremorDps * Math.SQRT2 * Math.sin(2 * Math.PI * 9 * at(n));
  const tiltRad = (n: number) =>
    inHold(n) ? (swayDps * Math.PI * Math.sin(phase(n))) / (180 * 2 * Math.PI * 0.3) : 0;
  const swing = (n: number) => 300 * Math.sin(2 * Math.PI * 1.1 * at(n));
  return uniformLog(
    14 * RATE_HZ,
    {
      gyroXDps: () => 1.5 + 0.1 * normal(),
      gyroYDps: (n) => -2 + 0.1 * normal() + (onTable(n) ? 0 : inHold(n) ? hold(n) : swing(n)),
      gyroZDps: () => 0.4 + 0.1 * normal(),
      accelXG: (n) => 0.003 * normal() - Math.sin(tiltRad(n)),
      accelYG: () => 0.003 * normal(),
      accelZG: (n) =>
        Math.cos(tiltRad(n)) + 0.003 * normal() + (onTable(n) || inHold(n) ? 0 : 0.4 * Math.sin(n)),
    },
    { rateHz: RATE_HZ },
  );
}

describe.each([0.5, 0.8, 1.2])('a hold of %d s in the hand is no rest', (holdS) => {
  test.each([
    ['a sway of 1.6 °/s and little tremor', { swayDps: 1.6, tremorDps: 0.1 }],
    ['a sway of 1 °/s with tremor', { swayDps: 1, tremorDps: 0.3 }],
    ['a sway of 2 °/s with more', { swayDps: 2, tremorDps: 0.5 }],
  ])('%s', (_name, hold) => {
    for (let seed = 1; seed <= 5; ++seed) {
      const rests = findStillStretches(heldLog(holdS, hold, seed));
      expect(rests.length, `seed ${seed}`).toBe(2);
      for (const { gyroXDps, gyroYDps } of rests) {
        expect(Math.abs(gyroXDps - 1.5)).toBeLessThan(0.05);
        expect(Math.abs(gyroYDps + 2)).toBeLessThan(0.05);
      }
    }
  });
});

test('a rest that disagrees with longer ones before and behind it is left out', () => {
  const log = heldLog(0, { swayDps: 0, tremorDps: 0 }, 1);
  // from 6 to 7.5 s a steady turn about the upright z: nothing in the force or in the noise shows it
  const steady = (n: number) => n >= 600 && n < 750;
  const normal = seededNormal(9);
  const turning: UniformLog = {
    ...log,
    gyroYDps: log.gyroYDps.map((dps, n) => (steady(n) ? -2 + 0.1 * normal() : dps)),
    gyroZDps: log.gyroZDps.map((dps, n) => (steady(n) ? 1.3 + 0.1 * normal() : dps)),
    accelZG: log.accelZG.map((g, n) => (steady(n) ? 1 + 0.003 * normal() : g)),
  };
  expect(findStillStretches(turning).length).toBe(2);
});

test('the bias wanders by as much as any two rests differ, not the first and the last alone', () => {
  const { stretches } = measureRest(heldLog(0, { swayDps: 0, tremorDps: 0 }, 2));
  const [first, last] = stretches as [(typeof stretches)[0], (typeof stretches)[0]];
  const middle = { ...first, gyroXDps: first.gyroXDps + 0.9 };
  expect(biasWander([first, middle, last])).toBeGreaterThan(0.8);
  expect(biasWander([first, last])).toBeLessThan(0.1);
});
