import { describe, test } from 'vitest';
import { DEMO_TAKES } from '../../scripts/simulate/demo/demoTakes.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { expectSameDeflections, expectSameGuard, extremesOfBoth } from '../engine/detect/bothWays.ts';
import { demoTake, judge, labelsOf, powerPresses, see } from './simulated.ts';

const SPEEDS = [5, 40, 95, 150, 240, 333, 480, 700, 1500];

describe.each(DEMO_TAKES.map(({ name }) => name))('on %s', (name) => {
  const take = demoTake(name);
  const { signals, truth } = judge(see(take));
  const judged = {
    signals,
    presses: powerPresses(take),
    labels: labelsOf(take),
    spinning: truth.spinning,
    extremes: extremesOfBoth(signals),
  };

  test('a guard from crossing to crossing is that of the pass over every sample', () => {
    for (const speedDps of SPEEDS)
      for (const holdMs of [0, 130, 450])
        for (const releaseRatio of [1, 0.5])
          expectSameGuard(judged, { ...DEFAULT_CANDIDATE.guard, speedDps, holdMs, releaseRatio }, 400);
  });

  test('so is a deflection', () => {
    for (const speedDps of SPEEDS)
      for (const rearmRatio of [0.3, 1])
        for (const confirmMs of [0, 40])
          expectSameDeflections(judged, { ...DEFAULT_CANDIDATE.deflection, speedDps, rearmRatio, confirmMs });
  });
});
