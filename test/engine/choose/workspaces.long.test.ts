import { describe, expect, test } from 'vitest';
import { evidenceOf } from '../../../server/engine/choose/evidence.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import { MOTION, motionEvidenceOf, motionGrid } from '../../../server/engine/choose/motion/motionProblem.ts';
import { PATIENCE } from '../../../server/engine/choose/motion/patience.ts';
import { suggest } from '../../../server/engine/choose/suggest.ts';
import { sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { randomWorkspace, trueDipsS, trueLagsS, type WorkspaceTake } from './workspaces.ts';

const base = DEFAULT_CANDIDATE.guard;
const SEEDS = Array.from({ length: 12 }, (_, k) => k + 1);

/**
 * What speaks against a setting on the exact motion, without sensor, noise and smoothing: a stray press that comes later
 * after the blade was last that fast than the hold lasts, a wanted one that comes sooner, and dips between swings that
 * outlast the hold, if they are 1 in 20 or more.
 */
function wrongInTruth(takes: readonly WorkspaceTake[], speedDps: number, holdMs: number): string[] {
  const presses = takes
    .flatMap((take) => trueLagsS(take, speedDps))
    .filter(({ intent, lagS }) => (intent === 'stray' ? lagS * 1000 >= holdMs : lagS * 1000 <= holdMs))
    .map(({ intent, lagS }) => `${intent} press ${(lagS * 1000).toFixed(0)} ms after`);
  const dips = takes.flatMap((take) => trueDipsS(take, speedDps));
  const open = dips.filter((dipS) => dipS * 1000 > holdMs).length;
  return open >= 0.05 * dips.length ? [...presses, `${open} of ${dips.length} dips open`] : presses;
}

describe('on simulated takes with known truth, the suggested setting lies inside the region that truth allows', () => {
  test.each(SEEDS)('seeded workspace %d', (seed) => {
    const takes = randomWorkspace(seed);
    const pressed = takes.map((take) => sweepTake(take, base));
    const choice = suggest(
      GUARD,
      GUARD.sum(pressed),
      takes.map((take) => evidenceOf(take, base)),
    );
    if (choice.kind !== 'suggestion') throw new Error(JSON.stringify(choice));
    expect(wrongInTruth(takes, choice.x, choice.y)).toEqual([]);
    // the region is no formality: the momentary check and a hold too long lie outside it
    expect(wrongInTruth(takes, choice.x, 0)).not.toEqual([]);
    expect(wrongInTruth(takes, choice.x, 1000)).not.toEqual([]);

    // The motion alone, without a look at a press, finds a setting inside that region too.
    const moved = { ...base, patienceMs: PATIENCE.default };
    const grids = takes.map((take, k) => motionGrid(take, moved, pressed[k]!));
    const byMotion = suggest(MOTION, MOTION.sum(grids), takes.map(motionEvidenceOf));
    if (byMotion.kind !== 'suggestion') throw new Error(JSON.stringify(byMotion));
    expect(wrongInTruth(takes, byMotion.x, byMotion.y)).toEqual([]);
    const wrong = (part: 'strays' | 'wanted') =>
      pressed.reduce((sum, grid) => sum + grid.wrong[part][byMotion.cell]!, 0);
    expect([wrong('strays'), wrong('wanted')]).toEqual([0, 0]);
  });
});
