import { GAP_STEPS } from '../engine/timeBase.ts';

const STEPS_SAMPLED = 10_000;
/** Steps this near to the median count for the mean, as far down as up: longer ones hold lost rows. */
const REGULAR_PART = 0.5;

/** Median of the positive steps between successive times (of up to 10 000 of them); NaN where none is. */
export function nominalStep(timeUs: Float64Array): number {
  const stride = Math.max(1, Math.floor(timeUs.length / STEPS_SAMPLED));
  const steps: number[] = [];
  for (let i = 1; i < timeUs.length; i += stride) {
    const step = timeUs[i]! - timeUs[i - 1]!;
    if (step > 0) steps.push(step);
  }
  return Float64Array.from(steps).sort()[steps.length >> 1] ?? Number.NaN;
}

/** Mean of the steps near the median: right also where stamps jitter or are whole milliseconds. */
export function regularStep(timeUs: Float64Array): number {
  const median = nominalStep(timeUs);
  let sum = 0;
  let count = 0;
  for (let i = 1; i < timeUs.length; ++i) {
    const step = timeUs[i]! - timeUs[i - 1]!;
    if (Math.abs(step - median) > REGULAR_PART * median) continue;
    sum += step;
    ++count;
  }
  return sum / count;
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

/** Every step over `GAP_STEPS` regular ones (`stepUs`): there the engine starts anew. */
export function findGaps(
  timeUs: Float64Array,
  stepUs: number,
): { readonly startUs: number; readonly endUs: number }[] {
  const limit = GAP_STEPS * stepUs;
  const gaps: { startUs: number; endUs: number }[] = [];
  for (let i = 1; i < timeUs.length; ++i) {
    if (timeUs[i]! - timeUs[i - 1]! > limit) gaps.push({ startUs: timeUs[i - 1]!, endUs: timeUs[i]! });
  }
  return gaps;
}
