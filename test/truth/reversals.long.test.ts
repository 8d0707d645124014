import { describe, expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { DEVICES } from '../../scripts/simulate/demo/devices.ts';
import { loopingEight, lyingEight, onStand, reversals } from '../../scripts/simulate/moves.ts';
import { type SimulatedTake, simulateTake } from '../../scripts/simulate/take.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { matchEvents } from '../engine/score/matchEvents.ts';
import { see } from './simulated.ts';

/** Three kinds of spin in one take, each after a stop. */
function spins(rateHz: number, seed: number): SimulatedTake {
  const c = new Choreography(seed);
  c.startAt({ heading: 10, tilt: 0, bank: 90, swing: 15 });
  onStand(c, 2);
  c.takeInHand();
  c.wait(1);
  c.marked('spinning', () => reversals(c, 150, 0.42, 12));
  c.wait(1.5);
  c.moveTo({ bank: 0, tilt: -10, swing: 0 }, 1.5);
  c.marked('spinning', () =>
    lyingEight(c, { azimuthDeg: 70, elevationDeg: 15, hz: 0.9, durationS: 9, rampS: 0.45 }),
  );
  c.wait(1.5);
  c.moveTo({ bank: 90, tilt: 0, swing: 0 }, 1.5);
  c.marked('spinning', () => {
    loopingEight(c, { dps: 640, durationS: 4 });
    loopingEight(c, { dps: -660, durationS: 4 });
  });
  c.wait(1);
  const sensor = {
    name: 'slim',
    leverArmM: [0.15, 0, 0] as const,
    mount: { tip: '-z', side: '+x' } as const,
    ...DEVICES.slim,
  };
  return simulateTake({ rateHz, sensor, choreography: c.finish(), seed });
}

describe.each([
  [100, 1],
  [200, 2],
  [500, 3],
  [1000, 4],
])('at %d Hz (take %d)', (rateHz, seed) => {
  const take = spins(rateHz, seed);
  const { motion } = see(take);
  // without a single label: what the program finds by itself
  const found = findTruth(motion, EMPTY_LABELS);

  test('the reversals that are found are those that happened: none missed, none made up', () => {
    const trueUs = Float64Array.from(take.truth.reversals, (reversal) => reversal.timeUs);
    const foundUs = Float64Array.from(found.reversals, (reversal) => reversal.timeUs);
    // Where the blade all but stands still, noise of 0.1 deg/s and a tremor of 2.5 shift the lowest point by a few ms;
    // at the ends of an eight the bottom is flat, and they shift it by tens. 60 ms is a seventh of the shortest swing.
    const pairs = matchEvents(trueUs, foundUs, 60_000);
    expect(trueUs.length).toBeGreaterThan(35);
    expect(pairs.length).toBe(trueUs.length);
    expect(foundUs.length).toBe(trueUs.length);
  });

  test('each is as slow and turns as far as it did', () => {
    for (const reversal of take.truth.reversals) {
      const nearest = found.reversals.reduce((best, one) =>
        Math.abs(one.timeUs - reversal.timeUs) < Math.abs(best.timeUs - reversal.timeUs) ? one : best,
      );
      // tremor of 2.5 deg/s on each axis, three times that at its worst, and the filter's corner of 16 Hz
      expect(Math.abs(nearest.lowestDps - reversal.lowestDps)).toBeLessThan(15);
      expect(Math.abs(nearest.turnDeg - reversal.turnDeg)).toBeLessThan(4);
    }
  });

  test('the spinning spans that it proposes cover the spins and nothing else', () => {
    const spinning = take.truth.spans.filter((span) => span.kind === 'spinning');
    expect(found.spinning.length).toBe(spinning.length);
    found.spinning.forEach((span, k) => {
      // a proposed spin starts at a tenth of its first peak and ends at a tenth of its last
      expect(Math.abs(span.startUs - spinning[k]!.startUs)).toBeLessThan(250_000);
      expect(Math.abs(span.endUs - spinning[k]!.endUs)).toBeLessThan(250_000);
    });
  });
});
