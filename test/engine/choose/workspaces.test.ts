import { describe, expect, test } from 'vitest';
import { DEFAULT_CANDIDATE } from '../../../server/engine/candidateRules.ts';
import { evidenceOf } from '../../../server/engine/choose/evidence.ts';
import { suggest } from '../../../server/engine/choose/suggest.ts';
import { sumGrids } from '../../../server/engine/choose/sumGrids.ts';
import { sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import { randomWorkspace, trueDipsS, trueLagsS } from './workspaces.ts';

const base = DEFAULT_CANDIDATE.guard;
const SEEDS = Array.from({ length: 20 }, (_, k) => k + 1);

describe.each(SEEDS)('seeded workspace %d', (seed) => {
  const takes = randomWorkspace(seed);
  const grid = sumGrids(takes.map((take) => sweepTake(take, base)));
  const choice = suggest(
    grid,
    takes.map((take) => evidenceOf(take, base)),
  );

  // The region that truth allows: on the exact motion, without sensor, noise and smoothing, every stray press comes
  // within the hold after the blade was last that fast, every wanted one later, and of the dips between swings fewer
  // than 1 in 20 outlast the hold.
  test('the suggested setting lies inside the region that truth allows', () => {
    if (choice.kind !== 'suggestion') throw new Error(JSON.stringify(choice));
    const { speedDps, holdMs } = choice;
    const lags = takes.flatMap((take) => trueLagsS(take, speedDps));
    for (const { intent, lagS } of lags) {
      if (intent === 'stray') expect(lagS * 1000).toBeLessThan(holdMs);
      else expect(lagS * 1000).toBeGreaterThan(holdMs);
    }
    const dips = takes.flatMap((take) => trueDipsS(take, speedDps));
    expect(dips.length).toBeGreaterThan(20);
    expect(dips.filter((dipS) => dipS * 1000 > holdMs).length).toBeLessThan(0.05 * dips.length);
  });
});
