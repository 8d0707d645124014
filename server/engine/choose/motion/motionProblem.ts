import type { GuardSettings } from '../../detect/guard.ts';
import { runGuard } from '../../detect/guard.ts';
import type { SpeedSignals } from '../../motion/signals.ts';
import { sumGuardSweeps } from '../../sweep/guardSweep.ts';
import { LEAST_EVENTS } from '../decline.ts';
import { GUARD, type RatedTake } from '../guardProblem.ts';
import type { Evidence, Judged, Problem } from '../problem.ts';
import { type ChoiceTake, type GuardGrid, type GuardPart, sweepTake } from '../takeSweep.ts';
import { unfitOf } from '../unfit.ts';
import { judgeSpins, judgeStops } from './motionScore.ts';
import { sweepMotion } from './motionSweep.ts';
import { type MotionUnits, motionUnits } from './motionUnits.ts';

/** What a take's motion is worth for choosing. */
export interface MotionEvidence extends Evidence {
  /** Confirmed ones; none where nobody has confirmed any. */
  readonly spins: number;
  readonly stops: number;
  readonly isConfirmed: boolean;
  /** Proposed by the program, for a person to confirm. */
  readonly waitingSpins: number;
  readonly waitingStops: number;
}

/** How long after a stop a press is wanted goes with the guard's settings. */
export type MotionBase = GuardSettings & { readonly patienceMs: number };

/** A take's grid comes with the one of its presses; a sum without. */
type MotionGrid = GuardGrid & { readonly pressed?: GuardGrid };

/**
 * The guard's speed and hold by motion alone. Spins stand in the place of stray presses and stops in that of wanted ones:
 * a stray press may come at any moment of a spin, a wanted one at any moment from the patience after a stop on. Cost,
 * plateau, margins and all that follows are those of presses.
 */
export const MOTION: Problem<GuardPart, MotionGrid, MotionBase, RatedTake, MotionEvidence, never> = {
  ...GUARD,
  kind: 'motion',
  at: (base, speedDps, holdMs) => ({ ...base, speedDps, holdMs }),
  evidence: motionEvidenceOf,
  sweep: (take, base, _evidence, axes) => motionGrid(take, base, sweepTake(take, base, axes)),
  sum: (grids) => sumGuardSweeps(grids.map(({ pressed: _, ...grid }) => grid)),
  // Where nobody has confirmed anything, all that is fit may be looked at.
  rank: ({ unfit, isConfirmed }) => (unfit !== null ? null : isConfirmed ? 0 : 1),
  decline({ spins = 0, stops = 0, waitingSpins = 0, waitingStops = 0 }) {
    if (spins + stops === 0) return waitingSpins + waitingStops === 0 ? 'noMotion' : 'unconfirmed';
    return Math.min(spins, stops) < LEAST_EVENTS ? 'tooFew' : null;
  },
  judge: (take, base, signals) => judgeUnits(signals, unitsOf(take), base),
  explain: (_take, _base, wrong) => wrong.map(() => null),
};

/** @param pressed  the take's map by its presses, over the settings that are tried. */
export function motionGrid(
  take: ChoiceTake,
  { patienceMs, releaseRatio }: Pick<MotionBase, 'patienceMs' | 'releaseRatio'>,
  pressed: GuardGrid,
): MotionGrid {
  const { signals } = take;
  const { xs: speedsDps, ys: holdsMs } = pressed;
  const units = unitsOf(take);
  const swept = sweepMotion({ signals, units, patienceMs, releaseRatio, speedsDps, holdsMs });
  return {
    ...pressed,
    sizes: { ...pressed.sizes, strays: swept.spins, wanted: swept.stops },
    wrong: { ...pressed.wrong, strays: swept.spinsOpen, wanted: swept.stopsLate },
    pressed,
  };
}

export function motionEvidenceOf(take: ChoiceTake): MotionEvidence {
  const { id, title, performer } = take;
  const { spins, stopsUs, isConfirmed, waiting } = unitsOf(take);
  return {
    id,
    title,
    performer,
    spins: isConfirmed ? spins.length : 0,
    stops: isConfirmed ? stopsUs.length : 0,
    isConfirmed,
    waitingSpins: waiting.spins,
    waitingStops: waiting.stops,
    unfit: unfitOf(take),
  };
}

function unitsOf({ truth, labels, signals }: ChoiceTake): MotionUnits {
  return motionUnits(truth, labels, signals);
}

/** The spins, each at its start, then the stops. */
function judgeUnits(signals: SpeedSignals, units: MotionUnits, base: MotionBase): Judged<GuardPart>[] {
  const closed = runGuard(signals, base);
  const late = new Set(
    judgeStops(signals, closed, units.stopsUs, base.patienceMs).flatMap(({ stopUs, isLate }) =>
      isLate ? [stopUs] : [],
    ),
  );
  return [
    // By the spin itself: at another rate its first sample lies at another moment.
    ...units.spins.map((spin): Judged<GuardPart> => {
      const isOpen = judgeSpins(signals, closed, [spin])[0]?.isOpen ?? false;
      return { what: 'unit', atUs: spin.startUs, wrong: isOpen ? 'strays' : null };
    }),
    ...units.stopsUs.map((stopUs): Judged<GuardPart> => {
      return { what: 'unit', atUs: stopUs, wrong: late.has(stopUs) ? 'wanted' : null };
    }),
  ];
}
