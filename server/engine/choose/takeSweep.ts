import type { Press } from '../base/log.ts';
import type { GuardSettings } from '../detect/guard.ts';
import { sweepReversals } from '../explain/reversalHolds.ts';
import type { Labels } from '../labels/labels.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { type GuardSweep, sweepGuard } from '../sweep/guardSweep.ts';
import type { Truth } from '../truth/truth.ts';
import { quietSpans, sweepClosed } from './quiet.ts';

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
  readonly unfit?: string | null;
}

/** The settings that are tried, both axes rising. */
export interface GuardAxes {
  readonly speedsDps: readonly number[];
  readonly holdsMs: readonly number[];
}

/** One take's scores over a grid, or the sum over several. Grids are row-major, holds fastest. */
export interface GuardGrid extends GuardSweep {
  readonly reversals: number;
  readonly reversalsOpen: Int32Array;
  /** Time in which the blade is held or carried, and for how much of it the guard is closed. */
  readonly quietS: number;
  readonly quietClosedS: Float64Array;
}

/** The settings that the page tries: whole tens, far beyond what a guard needs at either end. */
export const GUARD_AXES: GuardAxes = {
  speedsDps: tens(20, 800),
  holdsMs: tens(0, 600),
};

/** @param base  what the grid leaves alone: release ratio, and the moment that is judged. */
export function sweepTake(take: ChoiceTake, base: GuardSettings, axes: GuardAxes = GUARD_AXES): GuardGrid {
  const { signals, presses, labels, truth } = take;
  const sweep = sweepGuard({ signals, presses, labels, spinning: truth.spinning, base, ...axes });
  const { speedsDps, holdsMs } = sweep;
  const { releaseRatio } = base;
  const { reversals } = truth;
  const reversalsOpen = sweepReversals({ signals, reversals, releaseRatio, speedsDps, holdsMs });
  const spans = quietSpans(truth, (signals.timeUs.at(-1) ?? 0) + 1);
  const quiet = sweepClosed({ signals, spans, releaseRatio, speedsDps, holdsMs });
  return {
    ...sweep,
    reversals: reversals.length,
    reversalsOpen,
    quietS: quiet.total / signals.rateHz,
    quietClosedS: quiet.closed.map((samples) => samples / signals.rateHz),
  };
}

function tens(from: number, to: number): readonly number[] {
  return Array.from({ length: (to - from) / 10 + 1 }, (_, i) => from + 10 * i);
}
