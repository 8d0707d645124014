import type { Press } from '../base/log.ts';
import type { GuardSettings } from '../detect/guard.ts';
import { sweepReversals } from '../explain/reversalHolds.ts';
import type { Labels } from '../labels/labels.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import type { Axes } from '../sweep/grid.ts';
import { type GuardSweep, sweepGuard } from '../sweep/guardSweep.ts';
import type { Truth } from '../truth/truth.ts';
import { quietSpans, sweepClosed } from './quiet.ts';
import type { Unfit } from './unfit.ts';

/** A take as choosing needs it. `presses` are those of the power button. */
export interface ChoiceTake {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly signals: SpeedSignals;
  readonly presses: readonly Press[];
  readonly labels: Labels;
  readonly truth: Truth;
  /**
   * What the signal check says against choosing on it, see `tuningFitness`; null where nothing does, or where somebody
   * includes it even so. Where it is not given, a look at the signals decides.
   */
  readonly unfit?: Unfit | null;
}

/**
 * Besides presses: reversals at which the guard is open, and the time in which the blade is held or carried and the guard
 * closed.
 */
export type GuardPart = 'strays' | 'wanted' | 'reversals' | 'quietS';
export type GuardGrid = GuardSweep<GuardPart, GuardPart | 'spinningS' | 'stops'>;

/** The guard's settings that the page tries: whole tens, far beyond what it needs at either end. */
export const GUARD_AXES: Axes = { xs: tens(20, 800), ys: tens(0, 600) };

/** @param base  what the grid leaves alone: release ratio, and the moment that is judged. */
export function sweepTake(take: ChoiceTake, base: GuardSettings, axes: Axes = GUARD_AXES): GuardGrid {
  const { signals, presses, labels, truth } = take;
  const sweep = sweepGuard({ signals, presses, labels, spinning: truth.spinning, base, ...axes });
  const { xs: speedsDps, ys: holdsMs } = sweep;
  const { releaseRatio } = base;
  const { reversals } = truth;
  const reversalsOpen = sweepReversals({ signals, reversals, releaseRatio, speedsDps, holdsMs });
  const spans = quietSpans(truth, (signals.timeUs.at(-1) ?? 0) + 1);
  const quiet = sweepClosed({ signals, spans, releaseRatio, speedsDps, holdsMs });
  const quietS = quiet.closed.map((samples) => samples / signals.rateHz);
  return {
    ...sweep,
    sizes: { ...sweep.sizes, reversals: reversals.length, quietS: quiet.total / signals.rateHz },
    wrong: { ...sweep.wrong, reversals: reversalsOpen, quietS },
  };
}

/** The values of an axis from one to the other, each the nearest number to its decimal. */
export function spaced(from: number, to: number, step: number): readonly number[] {
  return Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) =>
    Number((from + i * step).toFixed(6)),
  );
}

function tens(from: number, to: number): readonly number[] {
  return spaced(from, to, 10);
}
