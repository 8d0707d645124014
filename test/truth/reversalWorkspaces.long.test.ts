import { expect, test } from 'vitest';
import type { SimulatedTake } from '../../scripts/simulate/take.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { dipWidthUs } from '../../server/engine/truth/reversals.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { matchEvents } from '../engine/score/matchEvents.ts';
import { see } from './simulated.ts';
import { spinWorkspace, WORKSPACE_SEEDS } from './spinWorkspaces.ts';

/**
 * Where the blade all but stands still, tremor shifts the lowest point by a few ms; at the flat ends of an eight by tens.
 * A fifth of the shortest swing.
 */
const TOLERANCE_US = 60_000;
/** The simulation calls nothing slower a swing; the program begins at 90. What lies between counts neither way. */
const LEAST_SWING_DPS = 100;
const GUARD_DPS = DEFAULT_CANDIDATE.guard.speedDps;

/** How fast the blade swung in truth, tremor and all, on the simulation's grid: no noise, no filter, no delay. */
function swungDps({ fine }: SimulatedTake): Float64Array {
  return fine.rate.y.map((y, i) => (Math.sqrt(y * y + fine.rate.z[i]! ** 2) * 180) / Math.PI);
}

/** Width of the dip about a moment, between the two crossings of the guard's speed; 0 and null as in `dipWidthUs`. */
function trueWidthUs(speed: Float64Array, hz: number, timeUs: number): number | null {
  const at = Math.round((timeUs * hz) / 1e6);
  if (speed[at]! >= GUARD_DPS) return 0;
  let [from, to] = [at, at];
  while (from >= 0 && speed[from]! < GUARD_DPS) --from;
  while (to < speed.length && speed[to]! < GUARD_DPS) ++to;
  return from < 0 || to === speed.length ? null : ((to - from) * 1e6) / hz;
}

/** In a take: reversals that happened, that were found, and both; how far the widths of the dips are off, in µs. */
function lookAt(take: SimulatedTake) {
  const { motion } = see(take);
  // without a single label: what the program finds by itself
  const reversals = findTruth(motion, EMPTY_LABELS).reversals.filter(({ peakBefore, peakAfter }) =>
    [peakBefore, peakAfter].every((peak) => motion.trueSpeedDps[peak]! >= LEAST_SWING_DPS),
  );
  const trueUs = take.truth.reversals.map(({ timeUs }) => timeUs);
  const foundUs = reversals.map(({ timeUs }) => timeUs);
  const pairs = matchEvents(trueUs, foundUs, TOLERANCE_US);
  const swung = swungDps(take);
  const widths = pairs.map(({ ref, det }) => ({
    trueUs: trueWidthUs(swung, take.fine.hz, trueUs[ref]!),
    foundUs: dipWidthUs(motion.trueSpeedDps, motion.timeUs, reversals[det]!.index, GUARD_DPS),
  }));
  return { happened: trueUs.length, found: foundUs.length, both: pairs.length, widths };
}

/**
 * Compared are the dip on `trueSpeedDps`, the zero-phase channel on which reversals are found, at the log's rate, and the
 * dip of the blade's own speed at 4 kHz. The causal channel is another matter: its smoothing belongs to a candidate.
 *
 * A dip on samples goes from the last one at or above the speed to the next: longer than the one between the crossings
 * by nothing to two sample periods, by one in the mean. That one is taken off; what is left may be a period either way,
 * and 2 ms for noise, steps, and the low-passes of sensor and channel.
 */
test.each(WORKSPACE_SEEDS)('workspace %i: every reversal is found, and how wide its dip is', (seed) => {
  let [happened, found, both, dips] = [0, 0, 0, 0];
  for (const take of spinWorkspace(seed)) {
    const seen = lookAt(take);
    happened += seen.happened;
    found += seen.found;
    both += seen.both;
    const periodUs = 1e6 / take.truth.rateHz;
    for (const { trueUs, foundUs } of seen.widths) {
      if (trueUs === null || trueUs === 0) expect(foundUs).toBe(trueUs);
      else {
        ++dips;
        expect(Math.abs(foundUs! - periodUs - trueUs)).toBeLessThanOrEqual(periodUs + 2000);
      }
    }
  }
  expect(happened).toBeGreaterThanOrEqual(12);
  expect(dips).toBeGreaterThanOrEqual(6);
  expect(both / happened).toBeGreaterThanOrEqual(0.98);
  expect(both / found).toBeGreaterThanOrEqual(0.98);
});
