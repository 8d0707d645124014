import type { CheckId } from '../check/checkSignals.ts';
import type { SpeedSignals } from '../motion/signals.ts';

/** What speaks against choosing on a take's signals. */
export type Unfit =
  /** What the signal check fails it on. */
  | { readonly kind: 'check'; readonly failed: readonly CheckId[] }
  | { readonly kind: 'unchecked'; readonly message: string }
  | { readonly kind: 'noMotion' }
  /** What is over between two samples. */
  | { readonly kind: 'slow'; readonly rateHz: number; readonly what: 'reversal' | 'gesture' }
  | { readonly kind: 'missing'; readonly what: 'rates' | 'force' }
  | { readonly kind: 'noSwing'; readonly fastestDps: number }
  /** Deflections wait for a button, and nobody knows when it was held. */
  | { readonly kind: 'noButton' }
  /** Nothing is left above the high-pass to hear a hit by. */
  | { readonly kind: 'noHits'; readonly rateHz: number; readonly highPassHz: number };

/** Below this rate a reversal is over between two samples. */
export const LEAST_RATE_HZ = 40;
/** Slower than this a blade is carried, not swung. */
const LEAST_SWING_DPS = 60;

type Speeds = Pick<SpeedSignals, 'rateHz' | 'swingSpeedDps' | 'timeUs'>;

/** What leaves a take out where the guard or the deflection is chosen: its signals, or that it holds no swing. */
export function unfitOf({
  unfit,
  signals,
}: {
  readonly unfit?: Unfit | null;
  readonly signals: SpeedSignals;
}): Unfit | null {
  return (unfit === undefined ? unfitness(signals) : unfit) ?? swingless(signals);
}

/** As far as rate and gaps tell. */
export function unfitness({ rateHz, swingSpeedDps, timeUs }: Speeds): Unfit | null {
  if (timeUs.length === 0) return { kind: 'noMotion' };
  if (rateHz < LEAST_RATE_HZ) return { kind: 'slow', rateHz, what: 'reversal' };
  const missing = swingSpeedDps.reduce((sum, dps) => sum + (Number.isNaN(dps) ? 1 : 0), 0);
  return missing > timeUs.length / 2 ? { kind: 'missing', what: 'rates' } : null;
}

/** Where the blade never moves fast enough to tell one setting of guard or deflection from another. */
export function swingless({ swingSpeedDps }: Pick<Speeds, 'swingSpeedDps'>): Unfit | null {
  let fastestDps = 0;
  for (let i = 0; i < swingSpeedDps.length; ++i)
    if (swingSpeedDps[i]! > fastestDps) fastestDps = swingSpeedDps[i]!;
  return fastestDps >= LEAST_SWING_DPS ? null : { kind: 'noSwing', fastestDps };
}
