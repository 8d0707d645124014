import type { TakeEvidence } from '../../../../server/engine/choose/evidence.ts';
import { GUARD } from '../../../../server/engine/choose/guardProblem.ts';
import { MOTION, type MotionEvidence } from '../../../../server/engine/choose/motion/motionProblem.ts';
import type { KOfN } from '../../../../server/engine/choose/problem.ts';
import type { Suggestion } from '../../../../server/engine/choose/suggest.ts';
import type { GuardGrid, GuardPart } from '../../../../server/engine/choose/takeSweep.ts';
import type { PressVerdict } from '../../../../server/engine/detect/presses.ts';
import type { Candidate } from '../../../../server/engine/settings/candidate.ts';
import {
  leftOutText,
  motionBasis,
  pressBasis,
  proposedReversalsText,
} from '../../../../server/engine/words/choose/basis.ts';
import { wrongPress, wrongUnit } from '../../../../server/engine/words/choose/wrong.ts';
import { percent } from '../../../../server/engine/words/count.ts';
import { patienceMs } from '../../../state/judging.ts';
import type { GuardJob, MotionJob } from '../../../sweep/jobs.ts';
import { demoCaution } from '../demoCaution.ts';
import { countFigure } from '../Figure.tsx';
import { GUARD_LAYERS, MOTION_LAYERS, shownMs } from '../layers.ts';
import type { CountColumn, FigureWords, MapView } from './mapView.ts';

const REVERSALS: CountColumn = {
  part: 'reversals',
  name: 'reversals',
  head: 'reversals',
  title: 'Reversals at which the guard opens',
};

/** Speed and hold are what the map spans: they must not start the job again. */
function swept<Base>(
  problem: { readonly x: { readonly values: readonly number[] }; at(base: Base, x: number, y: number): Base },
  base: Base,
): Base {
  return problem.at(base, problem.x.values[0]!, 0);
}

const taken = ({ guard }: Candidate, speedDps: number, holdMs: number): Partial<Candidate> => ({
  guard: { ...guard, speedDps, holdMs },
});

export const GUARD_VIEW: MapView<GuardPart, GuardGrid, TakeEvidence, PressVerdict> = {
  problem: GUARD,
  title: 'Guard map',
  xLabel: 'guard closes at, °/s',
  yLabel: 'hold after swing, ms',
  layers: GUARD_LAYERS,
  cellText: (grid, cell, isBrief) => cellText(grid, cell, ['strays let through', 'wanted refused'], isBrief),
  columns: [
    { part: 'strays', name: 'strays', head: 'strays', title: 'Stray presses let through', isBad: true },
    { part: 'wanted', name: 'wanted', head: 'wanted', title: 'Wanted presses refused', isBad: true },
    REVERSALS,
  ],
  figures: (suggestion, evidence) => [
    countFigure('guard', 'Strays let through', suggestion.wrong.strays),
    countFigure('guard', 'Wanted refused', suggestion.wrong.wanted),
    ...outcomeFigures(suggestion, proposedReversalsText(evidence)),
  ],
  moreFigures: timeFigures,
  basis: (evidence) => `${pressBasis(evidence)}${demoCaution(evidence)}${leftOutText(evidence)}`,
  wrongText: wrongPress,
  taken,
  rulesName: 'smoothing, release ratio and button',
  rulesOf: ({ smoothing, guard }) => [smoothing, swept(GUARD, guard)],
  job: (takes, { smoothing, guard }): GuardJob => ({
    kind: 'guard',
    takes,
    smoothing,
    base: swept(GUARD, guard),
  }),
};

export const MOTION_VIEW: MapView<GuardPart, GuardGrid, MotionEvidence, never> = {
  problem: MOTION,
  title: GUARD_VIEW.title,
  xLabel: GUARD_VIEW.xLabel,
  yLabel: GUARD_VIEW.yLabel,
  layers: MOTION_LAYERS,
  cellText: (grid, cell, isBrief) => cellText(grid, cell, ['spins open', 'stops late'], isBrief),
  columns: [
    {
      part: 'strays',
      name: 'spins',
      head: 'spins',
      title: 'Spins in which the guard is open for more than 1 in 20 of the time',
      isBad: true,
    },
    {
      part: 'wanted',
      name: 'stops',
      head: 'stops',
      title: 'Stops after which the guard is still closed once the patience is over',
      isBad: true,
    },
    REVERSALS,
  ],
  figures: (suggestion) => [
    countFigure('motion', 'Spins open', suggestion.wrong.strays),
    countFigure('motion', 'Stops late', suggestion.wrong.wanted),
    ...outcomeFigures(suggestion),
  ],
  moreFigures: timeFigures,
  basis: (evidence) => `${motionBasis(evidence)}${leftOutText(evidence)}${demoCaution(evidence)}`,
  wrongText: wrongUnit,
  taken,
  rulesName: 'smoothing and release ratio',
  rulesOf: ({ smoothing, guard }) => [smoothing, guard.releaseRatio],
  job: (takes, { smoothing, guard }): MotionJob => ({
    kind: 'motion',
    takes,
    smoothing,
    base: swept(MOTION, { ...guard, patienceMs: patienceMs.value }),
  }),
};

/** What a guard comes to besides what it was chosen by, and what needs no label; shares of time on asking. */
function outcomeFigures({ wrong: { reversals }, timesMs }: Suggestion<GuardPart>, note = ''): FigureWords[] {
  const { waitMedianMs = null } = timesMs;
  return [
    {
      name: 'Reversals open',
      value: reversals.n === 0 ? 'none to judge by' : `${reversals.k} / ${reversals.n}`,
      note,
    },
    ...(waitMedianMs === null ? [] : [{ name: 'Wait after a stop', value: shownMs(waitMedianMs) }]),
  ];
}

function timeFigures({ wrong: { quietS }, openShare }: Suggestion<GuardPart>): FigureWords[] {
  return [
    ...(openShare === null ? [] : [{ name: 'Open while spinning', value: percent(openShare, 1) }]),
    ...(quietS.n === 0 ? [] : [{ name: 'Closed while quiet', value: percent(quietS.k / quietS.n, 1) }]),
  ];
}

function cellText(
  { wrong, sizes, ...grid }: GuardGrid,
  cell: number,
  [strays, wanted]: readonly [strays: string, wanted: string],
  isBrief = false,
): string {
  const counted = (name: string, { k, n }: KOfN) => (n > 0 ? [`${name} ${k} of ${n}`] : []);
  const of = (part: 'strays' | 'wanted' | 'reversals') => ({ k: wrong[part][cell]!, n: sizes[part] });
  const open = grid.openShare[cell]!;
  const waitMs = grid.timesMs.waitMedianMs[cell]!;
  const parts = [
    ...counted(strays, of('strays')),
    ...counted(wanted, of('wanted')),
    ...(isBrief ? [] : counted('reversals open', of('reversals'))),
    ...(isBrief || Number.isNaN(open) ? [] : [`open ${percent(open, 1)} of the spin`]),
    ...(isBrief || Number.isNaN(waitMs) ? [] : [`wait ${shownMs(waitMs)}`]),
  ];
  return parts.length === 0 ? 'nothing to count in these takes' : parts.join(' · ');
}
