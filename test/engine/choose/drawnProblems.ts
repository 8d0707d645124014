import type { Press } from '../../../server/engine/base/log.ts';
import { DEFLECTION } from '../../../server/engine/choose/deflectionProblem.ts';
import { GESTURE_PROBLEMS } from '../../../server/engine/choose/gestures/gestureProblems.ts';
import { GESTURE_MAPS } from '../../../server/engine/choose/gestures/maps.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import { MOTION, motionGrid } from '../../../server/engine/choose/motion/motionProblem.ts';
import type { Judged, ProblemKind, Weighing } from '../../../server/engine/choose/problem.ts';
import { type ChoiceTake, sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import type { DeflectionSettings } from '../../../server/engine/detect/deflection.ts';
import type { Labels } from '../../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { type DeflectionGrid, sweepDeflection } from '../../../server/engine/sweep/deflectionSweep.ts';
import type { Axes, SweepGrid } from '../../../server/engine/sweep/grid.ts';
import { fakeMotion } from '../fakeSignals.ts';
import { drawnTake, guard } from './drawnTake.ts';
import * as gestures from './gestures/drawnTakes.ts';

/** One problem on takes drawn at random, over few enough settings for a naive loop. */
export interface DrawnProblem {
  readonly kind: ProblemKind;
  readonly problem: Weighing;
  readonly axes: Axes;
  /** Anew each time: the same seed gives the same take. */
  take(seed: number): DrawnTake;
}

export interface DrawnTake {
  readonly title: string;
  readonly performer: string;
  readonly grid: SweepGrid;
  /** What goes wrong at a setting, by a run of the detector. */
  judge(x: number, y: number): readonly Judged[];
}

export const DEFLECTION_BASE = DEFAULT_CANDIDATE.deflection;
/** The first speed is too low to be chosen. */
export const DEFLECTION_AXES = { xs: [60, 120, 240, 360, 480, 600], ys: [0.3, 0.6, 0.9] };

export function deflectionGrid(
  { signals, truth: { swings } }: Pick<ChoiceTake, 'signals' | 'truth'>,
  axes: Axes = DEFLECTION_AXES,
  base: DeflectionSettings = DEFLECTION_BASE,
): DeflectionGrid {
  return sweepDeflection({ signals, swings, base, ...axes });
}

const HELD_BASE: DeflectionSettings = { ...DEFLECTION_BASE, switchedOn: 'held', debounceMs: 20 };

/** A button that is held for two thirds of every so many seconds. */
function pressesEvery(seconds: number, untilUs: number): Press[] {
  const everyUs = seconds * 1e6;
  return Array.from({ length: Math.ceil(untilUs / everyUs) }, (_, k) => {
    const downUs = Math.round((k + 0.2) * everyUs);
    return { button: 'held', downUs, upUs: downUs + Math.round((2 * everyUs) / 3) };
  });
}

/** A take with a motion, which no test here looks at. */
function rated(seed: number) {
  const take = drawnTake(seed, 180);
  return { ...take, motion: fakeMotion(take.signals.swingSpeedDps, { rateHz: take.signals.rateHz }) };
}

const GUARD_AXES = { xs: [80, 120, 200, 300, 420, 600], ys: [0, 50, 100, 200, 300, 400, 600] };

/** Three spins, apart from one another, that a person has confirmed. */
function spun(seed: number) {
  const take = rated(seed);
  const spinning = [0.5, 3, 6].map((startS) => ({ startUs: startS * 1e6, endUs: (startS + 1.2) * 1e6 }));
  const spans = spinning.map((span) => ({ ...span, kind: 'spinning', by: 'person' as const }));
  const labels: Labels = { ...take.labels, spans };
  return { ...take, labels, truth: { ...take.truth, swings: [], spinning } };
}

export const DRAWN: readonly DrawnProblem[] = [
  {
    kind: 'guard',
    problem: GUARD,
    axes: GUARD_AXES,
    take(seed) {
      const take = rated(seed);
      const grid = sweepTake(take, guard(), GUARD_AXES);
      return { ...take, grid, judge: (x, y) => GUARD.judge(take, GUARD.at(guard(), x, y), take.signals) };
    },
  },
  {
    kind: 'motion',
    problem: MOTION as unknown as Weighing,
    axes: GUARD_AXES,
    take(seed) {
      const take = spun(seed);
      const base = { ...guard(), patienceMs: 300 };
      const { pressed: _, ...grid } = motionGrid(take, base, sweepTake(take, base, GUARD_AXES));
      return { ...take, grid, judge: (x, y) => MOTION.judge(take, MOTION.at(base, x, y), take.signals) };
    },
  },
  {
    kind: 'deflection',
    problem: DEFLECTION as unknown as Weighing,
    axes: DEFLECTION_AXES,
    take(seed) {
      const take = rated(seed);
      const at = (x: number, y: number) => DEFLECTION.at(DEFLECTION_BASE, x, y);
      return {
        ...take,
        grid: deflectionGrid(take),
        judge: (x, y) => DEFLECTION.judge(take, at(x, y), take.signals),
      };
    },
  },
  {
    kind: 'deflection',
    problem: DEFLECTION as unknown as Weighing,
    axes: DEFLECTION_AXES,
    take(seed) {
      const plain = rated(seed);
      const deflectionPresses = pressesEvery(0.9, plain.signals.timeUs.at(-1)!);
      const take = { ...plain, signals: { ...plain.signals, deflectionPresses } };
      const at = (x: number, y: number) => DEFLECTION.at(HELD_BASE, x, y);
      return {
        ...take,
        grid: deflectionGrid(take, DEFLECTION_AXES, HELD_BASE),
        judge: (x, y) => DEFLECTION.judge(take, at(x, y), take.signals),
      };
    },
  },
  ...GESTURE_MAPS.map((kind): DrawnProblem => {
    const problem = GESTURE_PROBLEMS[kind];
    return {
      kind,
      problem: problem as unknown as Weighing,
      axes: gestures.AXES[kind],
      take(seed) {
        const take = gestures.drawnTake(seed);
        const at = (x: number, y: number) => problem.at(gestures.base, x, y);
        return {
          ...take,
          grid: gestures.gridOf(take, kind),
          judge: (x, y) => problem.judge(take, at(x, y), take.signals),
        };
      },
    };
  }),
];
