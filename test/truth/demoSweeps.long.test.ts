import { describe, expect, test } from 'vitest';
import { DEMO_TAKES } from '../../scripts/simulate/demo/demoTakes.ts';
import { GESTURE_MAPS, withXY } from '../../server/engine/choose/gestures/maps.ts';
import { sweepGestureTake } from '../../server/engine/choose/gestures/take.ts';
import { MOTION, motionGrid } from '../../server/engine/choose/motion/motionProblem.ts';
import { PATIENCE } from '../../server/engine/choose/motion/patience.ts';
import { suggestOn } from '../../server/engine/choose/suggest.ts';
import { sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { runDeflection } from '../../server/engine/detect/deflection.ts';
import { simulatedGestures } from '../../server/engine/labels/gesturesSimulated.ts';
import { scoreDeflection } from '../../server/engine/score/deflectionScore.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { sweepDeflection } from '../../server/engine/sweep/deflectionSweep.ts';
import { sweepGuard } from '../../server/engine/sweep/guardSweep.ts';
import { demoTake, judge, labelsOf, powerPresses, see, withGuard } from './simulated.ts';

const SPEEDS = [40, 95, 150, 240, 333, 480, 700];
const HOLDS = [0, 5, 120, 150, 200, 450];
const REARMS = [0.2, 0.6, 1];
const GESTURE_AXES = {
  stab: { xs: [0.2, 0.8, 1.4, 2.1], ys: [0, 200, 500] },
  impact: { xs: [0.5, 1.5, 3.3, 6], ys: [0, 0.3, 1] },
  twist: { xs: [10, 45, 60, 100], ys: [100, 600, 1500] },
};

/** Of takes with fewer spins than it takes for a suggestion: what a setting chosen by their motion lets through. */
const STRAYS_MISSED: Readonly<Record<string, number>> = {
  // As the plane changes in mid-spin: a pause longer than at any of the other 65 reversals.
  'spinner-full-routine': 1,
  // In parries, outside its one spin.
  'duellist-parry-drill': 2,
};

describe.each(DEMO_TAKES.map(({ name }) => name))('on %s', (name) => {
  const take = demoTake(name);
  const seen = see(take);
  const { signals, truth } = judge(seen);

  test('every cell of the guard’s sweep equals a run with those settings, to the last bit', () => {
    const labels = labelsOf(take);
    const sweep = sweepGuard({
      signals,
      presses: powerPresses(take),
      labels,
      spinning: truth.spinning,
      base: DEFAULT_CANDIDATE.guard,
      xs: SPEEDS,
      ys: HOLDS,
    });
    SPEEDS.forEach((speedDps, s) => {
      HOLDS.forEach((holdMs, h) => {
        const { guardScore } = judge(seen, withGuard({ speedDps, holdMs }));
        const cell = s * HOLDS.length + h;
        expect([
          sweep.wrong.strays[cell],
          sweep.wrong.wanted[cell],
          sweep.openShare[cell],
          sweep.timesMs.waitMedianMs[cell],
        ]).toEqual([
          guardScore.falseAccepts.k,
          guardScore.falseRejects.k,
          guardScore.openShare ?? Number.NaN,
          guardScore.waitAfterStopMs?.median ?? Number.NaN,
        ]);
      });
    });
  });

  test('every cell of the deflection’s sweep equals a run with those settings', () => {
    const { swings } = truth;
    const base = DEFAULT_CANDIDATE.deflection;
    const sweep = sweepDeflection({ signals, swings, base, xs: SPEEDS, ys: REARMS });
    SPEEDS.forEach((speedDps, s) => {
      REARMS.forEach((rearmRatio, r) => {
        const fires = runDeflection(signals, { ...base, speedDps, rearmRatio });
        const score = scoreDeflection({ signals, fires, swings, settings: base })!;
        const cell = s * REARMS.length + r;
        const { missed, twice, outside } = sweep.wrong;
        expect([missed[cell], twice[cell], outside[cell]]).toEqual([
          score.missed.k,
          score.twice.k,
          score.outside,
        ]);
      });
    });
  });

  test.each(GESTURE_MAPS)('every cell of the map of %s equals a run with those settings', (kind) => {
    const labels = { ...labelsOf(take), gestures: simulatedGestures(take.truth) };
    const { xs, ys } = GESTURE_AXES[kind];
    const grid = sweepGestureTake({ signals, labels }, kind, DEFAULT_CANDIDATE, { xs, ys });
    xs.forEach((x, i) => {
      ys.forEach((y, j) => {
        const candidate = { ...DEFAULT_CANDIDATE, ...withXY(DEFAULT_CANDIDATE, kind, x, y) };
        const score = judge(seen, candidate, labels).gestureScores[kind];
        const cell = i * ys.length + j;
        expect([grid.wrong.missed[cell], grid.wrong.again[cell], grid.wrong.outside[cell]]).toEqual([
          score.missed.k,
          score.again,
          score.falseFires,
        ]);
        expect(grid.timesMs.delayMedianMs[cell]).toBe(score.delayMs?.median ?? Number.NaN);
      });
    });
  });

  test('where it spins and stops, a setting chosen by its motion gets none of its presses wrong, but for what no spin tells', () => {
    const labels = labelsOf(take);
    const given = {
      id: name,
      title: name,
      performer: '',
      signals,
      presses: powerPresses(take),
      labels,
      truth,
    };
    const { guard } = DEFAULT_CANDIDATE;
    const pressed = sweepTake(given, guard);
    const grid = motionGrid(given, { ...guard, patienceMs: PATIENCE.default }, pressed);
    // Without a spin the motion has nothing that a stray press could come in.
    const isJudged = grid.sizes.strays > 0 && grid.sizes.wanted > 0;
    expect(isJudged).toBe(!['duellist-thrust-line', 'duellist-twist-dial'].includes(name));
    if (!isJudged) return;
    const { cell, wrong } = suggestOn(MOTION, grid);
    expect([wrong.strays.k, wrong.wanted.k]).toEqual([0, 0]);
    expect([pressed.wrong.strays[cell], pressed.wrong.wanted[cell]]).toEqual([STRAYS_MISSED[name] ?? 0, 0]);
  });
});
