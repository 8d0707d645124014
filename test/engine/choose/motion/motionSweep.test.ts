import { describe, expect, test } from 'vitest';
import type { Span } from '../../../../server/engine/base/log.ts';
import { scoreMotion } from '../../../../server/engine/choose/motion/motionScore.ts';
import { sweepMotion } from '../../../../server/engine/choose/motion/motionSweep.ts';
import { runGuard } from '../../../../server/engine/detect/guard.ts';
import { referenceMotionSweep } from '../../../reference/motionSweep.ts';
import { fakeSignals } from '../../fakeSignals.ts';
import { fc } from '../../properties.ts';
import { drawnSpeed } from '../../sweep/drawnSpeed.ts';
import { guard } from '../drawnTake.ts';

const RATE_HZ = 20;

/** Random speeds with gaps and NaN, spins that may lie over one another, and stops anywhere, also beyond the data. */
function drawnMotion(seed: number) {
  const { speed, segments, random } = drawnSpeed(seed, 400);
  const signals = fakeSignals({ swingSpeedDps: speed }, { rateHz: RATE_HZ, segments, gapUs: 300_000 });
  const endUs = signals.timeUs.at(-1)!;
  const moment = () => Math.floor(random() * endUs * 1.05);
  const spins: Span[] = Array.from({ length: 4 }, () => {
    const startUs = moment();
    return { startUs, endUs: startUs + Math.floor(random() * endUs * 0.2) };
  });
  // On a sample or between two; a second and more apart, as stops are.
  const stopsUs = Array.from({ length: 12 }, () =>
    random() < 0.5 ? moment() : Math.floor(moment() / 5e4) * 5e4,
  )
    .sort((a, b) => a - b)
    .filter((us, i, all) => i === 0 || us - all[i - 1]! >= 1e6);
  return { signals, spins, stopsUs };
}

function swept(
  drawn: ReturnType<typeof drawnMotion>,
  axes: { speeds: number[]; holds: number[] },
  rest: { patienceMs: number; releaseRatio: number },
) {
  const { signals, spins, stopsUs } = drawn;
  return sweepMotion({
    signals,
    units: { spins, stopsUs },
    speedsDps: Float64Array.from(axes.speeds),
    holdsMs: Float64Array.from(axes.holds),
    ...rest,
  });
}

const AXES = { speeds: [60, 150, 300, 500], holds: [0, 50, 100, 200, 400, 800] };

describe('the sweep by motion', () => {
  test('agrees in every cell with a count of every sample', () => {
    fc.assert(
      fc.property(
        fc.nat(),
        fc.constantFrom(1, 0.8, 0.3),
        fc.constantFrom(0, 50, 130, 300, 900),
        fc.uniqueArray(fc.integer({ min: 1, max: 700 }), { minLength: 1, maxLength: 6 }),
        fc.uniqueArray(fc.integer({ min: 0, max: 2500 }), { minLength: 1, maxLength: 6 }),
        (seed, releaseRatio, patienceMs, speeds, holds) => {
          const drawn = drawnMotion(seed);
          const axes = { speeds: speeds.sort((a, b) => a - b), holds: holds.sort((a, b) => a - b) };
          const found = swept(drawn, axes, { patienceMs, releaseRatio });
          const expected = referenceMotionSweep({
            ...drawn,
            patienceMs,
            base: guard({ releaseRatio }),
            speedsDps: axes.speeds,
            holdsMs: axes.holds,
          });
          expect({ ...found, spinsOpen: [...found.spinsOpen], stopsLate: [...found.stopsLate] }).toEqual(
            expected,
          );
        },
      ),
      { numRuns: 120 },
    );
  });

  test('the drawn takes hold what the comparison is about: spins that are open and not, stops late and not, and left out', () => {
    const seen = { open: 0, late: 0, leftOut: 0 };
    for (let seed = 0; seed < 20; ++seed) {
      const drawn = drawnMotion(seed);
      const found = swept(drawn, AXES, { patienceMs: 300, releaseRatio: 1 });
      const some = (counts: Int32Array, of: number) => counts.some((k) => k > 0 && k < of);
      if (some(found.spinsOpen, found.spins)) ++seen.open;
      if (some(found.stopsLate, found.stops)) ++seen.late;
      if (found.stops < drawn.stopsUs.length) ++seen.leftOut;
    }
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(5);
  });

  test('a longer hold or a lower speed leaves no more spins open and no fewer stops late; more patience no more late', () => {
    for (let seed = 0; seed < 30; ++seed) {
      const drawn = drawnMotion(seed);
      const found = swept(drawn, AXES, { patienceMs: 200, releaseRatio: 1 });
      const patient = swept(drawn, AXES, { patienceMs: 600, releaseRatio: 1 });
      const holds = AXES.holds.length;
      found.spinsOpen.forEach((open, cell) => {
        if (cell % holds > 0) {
          expect(open).toBeLessThanOrEqual(found.spinsOpen[cell - 1]!);
          expect(found.stopsLate[cell]).toBeGreaterThanOrEqual(found.stopsLate[cell - 1]!);
        }
        if (cell >= holds) {
          expect(open).toBeGreaterThanOrEqual(found.spinsOpen[cell - holds]!);
          expect(found.stopsLate[cell]).toBeLessThanOrEqual(found.stopsLate[cell - holds]!);
        }
        expect(patient.stopsLate[cell]).toBeLessThanOrEqual(found.stopsLate[cell]!);
      });
    }
  });

  test('the scores of one setting are those of its cell', () => {
    for (let seed = 0; seed < 30; ++seed) {
      const drawn = drawnMotion(seed);
      const { signals, spins, stopsUs } = drawn;
      const found = swept(drawn, { speeds: [200], holds: [150] }, { patienceMs: 300, releaseRatio: 0.8 });
      const closed = runGuard(signals, guard({ speedDps: 200, holdMs: 150, releaseRatio: 0.8 }));
      const units = { spins, stopsUs, isConfirmed: true, waiting: { spins: 0, stops: 0 } };
      const score = scoreMotion(signals, closed, units, 300);
      expect(score.spinsOpen).toMatchObject({ k: found.spinsOpen[0], n: found.spins });
      expect(score.stopsLate).toMatchObject({ k: found.stopsLate[0], n: found.stops });
    }
  });
});
