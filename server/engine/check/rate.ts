import type { Line } from './line.ts';

/** The shortest swing that a hand makes from rest to rest. */
export const SHORTEST_SWING_S = 0.2;
/**
 * 16 samples in the shortest swing: they miss its peak by 1 % at most, and times are known to 12.5 ms, a tenth of a
 * usual dip.
 */
export const RATE_GOOD_HZ = 80;
/** The shortest swing holds frequencies up to 10 Hz: below twice that its shape is lost. */
export const RATE_LEAST_HZ = 20;
/** Length of a hard hit, as a half sine (shape of IEC 60068-2-27, cited from memory). */
export const SHOCK_MS = 8;
/** Where a hit may read as less than half of itself, only luck tells it from a hard stop. */
const SHOCK_SHARE_LEAST = 0.5;

export interface RateLine extends Line<'rate'> {
  readonly rateHz: number;
}

export function checkRate(rateHz: number): RateLine {
  const state = rateHz < RATE_LEAST_HZ ? 'fail' : rateHz < RATE_GOOD_HZ ? 'caution' : 'pass';
  return { id: 'rate', state, rateHz };
}

/** The least share of a hit's peak that is read: where two samples lie evenly beside it. */
function leastShockShare(rateHz: number): number {
  const stepMs = 1000 / rateHz;
  return stepMs >= SHOCK_MS ? 0 : Math.cos((Math.PI * stepMs) / (2 * SHOCK_MS));
}

/**
 * Probability that a hit reads as at least half of its peak: a half sine is above its half for two thirds of its
 * length.
 */
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
