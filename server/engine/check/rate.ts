import type { Line } from './line.ts';

/** The shortest swing that a hand makes from rest to rest. */
export const SHORTEST_SWING_S = 0.2;
/** 16 samples a shortest swing: its peak is met within 1 %, and times are known to 12.5 ms, a tenth of a usual dip. */
export const RATE_GOOD_HZ = 80;
/** A shortest swing holds what lies below 10 Hz: at twice that its shape is lost. */
export const RATE_LEAST_HZ = 20;
/** Length of a hard hit, as a half sine (shape of IEC 60068-2-27, cited from memory). */
export const SHOCK_MS = 8;
/** A hit that may read as less than half of itself is told from a hard stop by luck. */
const SHOCK_SHARE_LEAST = 0.5;

export interface RateLine extends Line<'rate'> {
  readonly rateHz: number;
}

export function checkRate(rateHz: number): RateLine {
  const state = rateHz < RATE_LEAST_HZ ? 'fail' : rateHz < RATE_GOOD_HZ ? 'caution' : 'pass';
  return { id: 'rate', state, rateHz };
}

/** The least share of a hit's peak that samples can meet: two of them lie evenly beside it. */
function leastShockShare(rateHz: number): number {
  const stepMs = 1000 / rateHz;
  return stepMs >= SHOCK_MS ? 0 : Math.cos((Math.PI * stepMs) / (2 * SHOCK_MS));
}

/** How often a hit is met by at least half of its peak: half a sine stands above its half for two thirds of its length. */
function chanceOfHalf(rateHz: number): number {
  return Math.min(1, ((2 / 3) * SHOCK_MS * rateHz) / 1000);
}

export interface HitsLine extends Line<'hits'> {
  readonly rateHz: number;
  readonly leastShare: number;
  readonly chanceOfHalf: number;
}

export function checkHits(rateHz: number): HitsLine {
  const leastShare = leastShockShare(rateHz);
  const state = leastShare >= SHOCK_SHARE_LEAST ? 'pass' : 'caution';
  return { id: 'hits', state, rateHz, leastShare, chanceOfHalf: chanceOfHalf(rateHz) };
}
