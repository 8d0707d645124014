import { computeSignals } from '../../motion/signals.ts';
import type { GesturePart } from '../../sweep/gestureSweep.ts';
import { sumGrids } from '../../sweep/grid.ts';
import { errorsInSteps } from '../cost.ts';
import { areContradictory, LEAST_EVENTS } from '../decline.ts';
import type { Problem } from '../problem.ts';
import { type GestureEvidence, gestureEvidenceOf } from './evidence.ts';
import { judgeGestures } from './judge.ts';
import { type GestureBase, type GestureMapKind, gestureMap, withXY } from './maps.ts';
import { type MissCause, missCauses } from './missCauses.ts';
import { GESTURE_STRESSES, type GestureStress, motionsUnder } from './stressMotions.ts';
import { type GestureGrid, type GestureTake, sweepGestureTake } from './take.ts';

type GestureProblem = Problem<GesturePart, GestureGrid, GestureBase, GestureTake, GestureEvidence, MissCause>;

/** The two settings of a detector of gestures, by gestures that a person or a simulation has labelled. */
function problemOf(kind: GestureMapKind): GestureProblem {
  const { x, y } = gestureMap(kind);
  const problem: GestureProblem = {
    kind,
    group: kind,
    x,
    y,
    // `again` counts fires, not gestures; the seconds outside tell how much was looked at.
    sizeOf: { missed: 'gestures', again: 'gestures', outside: 'outsideS' },
    errors: [['missed', 'again', 'outside']],
    steps: [],
    heldOut: ['missed', 'again', 'outside'],
    needs: ['gestures', 'others'],
    better: 'middle',
    relaxes: true,
    cost: (grid, slack) => errorsInSteps(problem, grid, slack),
    sum: sumGrids,
    stresses: GESTURE_STRESSES[kind],
    at: (base, atX, atY) => withXY(base, kind, atX, atY),
    evidence: (take, base) => gestureEvidenceOf(take, kind, base),
    sweep(take, base, { others, outsideS }, axes) {
      const grid = sweepGestureTake(take, kind, base, axes);
      return { ...grid, sizes: { ...grid.sizes, others, outsideS } };
    },
    rank: ({ unfit }) => (unfit === null ? 0 : null),
    tells: ({ sizes }) => sizes.gestures > 0 || sizes.outsideS > 0,
    decline({ gestures = 0, others = 0 }, fit) {
      if (gestures === 0) return 'noLabels';
      if (areContradictory(fit)) return 'contradictory';
      if (others < LEAST_EVENTS) return 'oneClass';
      return gestures < LEAST_EVENTS ? 'tooFew' : null;
    },
    judge: (take, base, signals) => judgeGestures({ signals, labels: take.labels }, kind, base),
    explain(take, base, wrong) {
      const missed = wrong.filter(({ part }) => part === 'missed').map(({ atUs }) => atUs);
      const causes = missCauses(take, kind, base, missed);
      return wrong.map(({ part, atUs }) => (part === 'missed' ? causes.get(atUs)! : null));
    },
    under: (stress, { motion, leverArmM, presses }, smoothing, base) =>
      motionsUnder(stress as GestureStress, motion, leverArmM).map(
        (stressed) => () => computeSignals(stressed(), { ...base, smoothing }, presses),
      ),
  };
  return problem;
}

export const GESTURE_PROBLEMS: Readonly<Record<GestureMapKind, GestureProblem>> = {
  stab: problemOf('stab'),
  impact: problemOf('impact'),
  twist: problemOf('twist'),
};
