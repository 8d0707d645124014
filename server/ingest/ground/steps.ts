import { GAP_STEPS, meanStepNear } from '../../engine/base/timeBase.ts';
import { upperMedian } from '../../engine/statistics/sorted.ts';

const STEPS_SAMPLED = 10_000;

/** Median of the positive steps between successive times, in their own unit (of up to 10 000 of them); NaN where none is. */
export function nominalStep(timeUs: Float64Array): number {
  const stride = Math.max(1, Math.floor(timeUs.length / STEPS_SAMPLED));
  const steps: number[] = [];
  for (let i = 1; i < timeUs.length; i += stride) {
    const step = timeUs[i]! - timeUs[i - 1]!;
    if (step > 0) steps.push(step);
  }
  return upperMedian(steps);
}

/** The step that the engine's time base will find, from a median that is quick to find. */
export function regularStep(timeUs: Float64Array): number {
  return meanStepNear(timeUs, nominalStep(timeUs));
}

/** How many steps are over twice the regular one (`stepUs`), and how long the longest of all is. */
export function longSteps(
  timeUs: Float64Array,
  stepUs: number,
): { longSteps: number; longestStepMs: number } {
  let count = 0;
  let longestUs = 0;
  for (let i = 1; i < timeUs.length; ++i) {
    const step = timeUs[i]! - timeUs[i - 1]!;
    if (step > 2 * stepUs) ++count;
    if (step > longestUs) longestUs = step;
  }
  return { longSteps: count, longestStepMs: longestUs / 1000 };
}

/**
 * Steps over `GAP_STEPS` regular ones (`stepUs`): there the engine starts anew. All are counted, the first `most` listed: a
 * log may have a gap behind every row.
 */
export function findGaps(
  timeUs: Float64Array,
  stepUs: number,
  most: number,
): { readonly count: number; readonly first: { readonly startUs: number; readonly endUs: number }[] } {
  const limit = GAP_STEPS * stepUs;
  const first: { startUs: number; endUs: number }[] = [];
  let count = 0;
  for (let i = 1; i < timeUs.length; ++i) {
    if (timeUs[i]! - timeUs[i - 1]! <= limit) continue;
    ++count;
    if (count <= most) first.push({ startUs: timeUs[i - 1]!, endUs: timeUs[i]! });
  }
  return { count, first };
}
