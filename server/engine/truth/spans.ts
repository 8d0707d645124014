import type { Span } from '../base/log.ts';
import type { CandidateMotion, RateMotion } from '../motion/motion.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import type { Swing } from './swings.ts';

/** Swings belong to one spin while the next starts this soon after the last has ended. */
export const SPIN_MAX_PAUSE_MS = 400;
export const SPIN_MIN_SWINGS = 3;
/** Fewer swings are a spin too if the blade turns this far in them: twice around, without a dip. */
export const SPIN_MIN_TURN_DEG = 720;
const STILL_MIN_MS = 500;

/**
 * Spinning, as proposed from the swings: stretches of close succession, each from the start of its first swing to the
 * end of its last, with 3 swings or more or two turns or more. None goes across a gap.
 * @param swings  in time order.
 */
export function proposeSpinning(motion: RateMotion, swings: readonly Swing[]): Span[] {
  const gapsUs = motion.segments.map(({ start }) => motion.timeUs[start]!);
  const spans: Span[] = [];
  let first = 0;
  for (let i = 1; i <= swings.length; ++i) {
    if (i < swings.length && isClose(swings[i - 1]!, swings[i]!, gapsUs)) continue;
    const span = { startUs: swings[first]!.startUs, endUs: swings[i - 1]!.endUs };
    if (i - first >= SPIN_MIN_SWINGS || turnDeg(motion, span) >= SPIN_MIN_TURN_DEG) spans.push(span);
    first = i;
  }
  return spans;
}

/**
 * Spins that run fast and slow swings together: the fastest of its swings peaks at more than so many times the slowest.
 * Nothing in a spin's rule asks for an even speed.
 */
export function mixedSpins(spins: readonly Span[], swings: readonly Swing[]): Span[] {
  return spins.filter(({ startUs, endUs }) => {
    const peaks = swings
      .filter((swing) => swing.startUs >= startUs && swing.endUs <= endUs)
      .map(({ peakDps }) => peakDps);
    return peaks.length > 1 && Math.max(...peaks) > MIXED_RATIO * Math.min(...peaks);
  });
}

const MIXED_RATIO = 2.5;

/** Stillness, as proposed from the motion: stretches of STILL_MIN_MS or more of still samples, none across a gap. */
export function proposeStill(motion: CandidateMotion): Span[] {
  const { timeUs, stillMask, rateHz } = motion;
  const spans: Span[] = [];
  for (const { start, end } of motion.segments) {
    let first = start;
    for (let i = start; i <= end; ++i) {
      if (i < end && stillMask[i] === 1) continue;
      if (((i - first) * 1000) / rateHz >= STILL_MIN_MS)
        spans.push({ startUs: timeUs[first]!, endUs: timeUs[i - 1]! });
      first = i + 1;
    }
  }
  return spans;
}

function isClose(before: Swing, after: Swing, segmentStartsUs: readonly number[]): boolean {
  if (after.startUs - before.endUs > SPIN_MAX_PAUSE_MS * 1000) return false;
  return !segmentStartsUs.some((startUs) => startUs > before.endUs && startUs <= after.startUs);
}

function turnDeg(motion: RateMotion, { startUs, endUs }: Span): number {
  const end = firstAtOrAfter(motion.timeUs, endUs);
  let sum = 0;
  for (let i = firstAtOrAfter(motion.timeUs, startUs); i < end; ++i) sum += motion.trueSpeedDps[i]!;
  return sum / motion.rateHz;
}
