import type { MotionScore, UnitCount } from '../engine/choose/motion/motionScore.ts';
import { percent, percentRange } from '../engine/words/count.ts';

/** How the guard would treat presses that might have come, from spins and stops alone; empty where there are none. */
export function motionLines(score: MotionScore): string[] {
  const { spinsOpen, stopsLate, openShare, worst, waitMs, patienceMs, isConfirmed } = score;
  if (spinsOpen.n + stopsLate.n === 0) return [];
  const basis = isConfirmed ? 'labelled' : 'proposed, not confirmed';
  const shares =
    openShare === null || worst === null
      ? ''
      : `; part of a spin open: median ${percent(openShare.median, 1)}, worst ${percent(worst.openShare, 1)} at ${(worst.startUs / 1e6).toFixed(1)} s`;
  const waits = waitMs === null ? '' : `; opens ${waitMs.median.toFixed(0)} ms after one (median)`;
  return [
    `  by motion, not by presses (spins and stops ${basis}):`,
    `    spins open for more than 1 in 20 of their time: ${fraction(spinsOpen)}${shares}`,
    `    stops with the guard closed ${patienceMs} ms after them or later: ${fraction(stopsLate)}${waits}`,
  ];
}

function fraction({ k, n, interval }: UnitCount): string {
  if (interval === null) return 'none here';
  return `${k} of ${n} (at least 95 %: ${percentRange(interval, ' to ')})`;
}
