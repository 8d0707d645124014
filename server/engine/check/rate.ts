import { figure, lasting, percent } from './figures.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

/** The shortest swing that a hand makes from rest to rest. */
export const SHORTEST_SWING_S = 0.2;
/** 16 samples a shortest swing: its peak is met within 1 %, and times are known to 12.5 ms, a tenth of a usual dip. */
export const RATE_GOOD_HZ = 80;
/** A shortest swing holds what lies below 10 Hz: at twice that its shape is lost. */
export const RATE_LEAST_HZ = 20;
/** Length of a hard hit, as a half sine (shape of IEC 60068-2-27, cited from memory). */
export const SHOCK_MS = 8;
/** A hit that may read as less than half of itself is told from a hard stop by luck. */
export const SHOCK_SHARE_LEAST = 0.5;

export function checkRate(rateHz: number): CheckLine {
  const perSwing = figure(SHORTEST_SWING_S * rateHz, 2);
  const finding = `${figure(rateHz, 4)} Hz: a swing of ${SHORTEST_SWING_S} s has ${perSwing} samples, and moments are known to ${lasting(1e6 / rateHz)}.`;
  const advice = 'Log at 100 Hz or more: 200 Hz if stabs or hits matter.';
  if (rateHz < RATE_LEAST_HZ) return fails('rate', finding, advice, 'the shape of every swing');
  if (rateHz < RATE_GOOD_HZ) return cautions('rate', finding, advice, 'peaks and dips of short swings');
  return passes('rate', finding);
}

/** The least share of a hit's peak that samples can meet: two of them lie evenly beside it. */
export function leastShockShare(rateHz: number): number {
  const stepMs = 1000 / rateHz;
  return stepMs >= SHOCK_MS ? 0 : Math.cos((Math.PI * stepMs) / (2 * SHOCK_MS));
}

/** How often a hit is met by at least half of its peak: half a sine stands above its half for two thirds of its length. */
export function chanceOfHalf(rateHz: number): number {
  return Math.min(1, ((2 / 3) * SHOCK_MS * rateHz) / 1000);
}

export function checkHits(rateHz: number): CheckLine {
  const share = leastShockShare(rateHz);
  const hit = `A hit of ${SHOCK_MS} ms`;
  if (share >= SHOCK_SHARE_LEAST)
    return passes('hits', `${hit} reads at least ${percent(share)} of its peak at ${figure(rateHz)} Hz.`);
  const chance = percent(chanceOfHalf(rateHz));
  const finding =
    share === 0
      ? `${hit} can fall wholly between two samples: at ${figure(rateHz)} Hz it reads half of its peak or more only ${chance} of the time.`
      : `${hit} may read as little as ${percent(share)} of its peak at ${figure(rateHz)} Hz.`;
  return cautions(
    'hits',
    finding,
    'For impact and stab, log at 200 Hz or more.',
    'impact levels, and hits not seen',
  );
}
