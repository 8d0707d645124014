import { beforeAll, describe, expect, test } from 'vitest';
import { DEMO_TAKES } from '../../../scripts/simulate/demo/demoTakes.ts';
import { type FolderTakeRead, folderTakes, NOTHING_STATED } from '../../../server/cli/folderTakes.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { DEFLECTION } from '../../../server/engine/choose/deflectionProblem.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import { MOTION } from '../../../server/engine/choose/motion/motionProblem.ts';
import { PATIENCE } from '../../../server/engine/choose/motion/patience.ts';
import type { Problem, Weighing } from '../../../server/engine/choose/problem.ts';
import { computeMotion } from '../../../server/engine/motion/motion.ts';
import { computeSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import type { SweepGrid } from '../../../server/engine/sweep/grid.ts';
import { findTruth } from '../../../server/engine/truth/truth.ts';
import { expectOneTruth } from './oneTruth.ts';

const { guard, deflection } = DEFAULT_CANDIDATE;
const BASES = [
  [GUARD, guard],
  [MOTION, { ...guard, patienceMs: PATIENCE.default }],
  [DEFLECTION, deflection],
] as const;

function gridsOf({ take, labels, presses, calibration }: FolderTakeRead, demo: (typeof DEMO_TAKES)[number]) {
  const { uniform } = buildTimeBase(take.log, take.saturated);
  const motion = computeMotion(uniform, { ...calibration, mount: demo.mount });
  const signals = computeSignals(motion, DEFAULT_CANDIDATE, take.presses, null);
  const { name } = demo;
  const truth = findTruth(motion, labels);
  const asked = {
    id: name,
    title: name,
    performer: '',
    motion,
    signals,
    labels,
    presses,
    truth,
    unfit: null,
  };
  return BASES.map(([problem, base]) => {
    const any = problem as unknown as Problem<never, SweepGrid, unknown, never, never, never>;
    return any.sweep(asked as never, base, any.evidence(asked as never, base));
  });
}

describe('suggestions on the demo takes', () => {
  const grids: SweepGrid[][] = [];

  beforeAll(async () => {
    const takes = folderTakes('fixtures', NOTHING_STATED);
    for (const demo of DEMO_TAKES) {
      const take = takes.find(({ name }) => name === `${demo.name}.csv`)!;
      grids.push(gridsOf(await take.read(), demo));
    }
  }, 180_000);

  test.each(BASES.map(([problem], i) => [problem.kind, problem, i] as const))(
    'of %s: room, margins and borders are one truth, take by take and over all of them',
    (_kind, own, i) => {
      const problem = own as unknown as Weighing;
      for (const one of grids) expectOneTruth(problem, one[i]!);
      const total = problem.sum(grids.map((one) => one[i]!));
      expect(expectOneTruth(problem, total)).toBeGreaterThan(0);
    },
  );
});
