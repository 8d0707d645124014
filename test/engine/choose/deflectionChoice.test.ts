import { describe, expect, test } from 'vitest';
import {
  deflectionCost,
  suggestDeflection,
  sumDeflection,
} from '../../../server/engine/choose/deflectionChoice.ts';
import { runDeflection } from '../../../server/engine/detect/deflection.ts';
import { scoreDeflection } from '../../../server/engine/score/deflectionScore.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { sweepDeflection } from '../../../server/engine/sweep/deflectionSweep.ts';
import { fc } from '../properties.ts';
import { drawnTake } from './drawnTake.ts';

const base = DEFAULT_CANDIDATE.deflection;
const axes = { speedsDps: [100, 200, 350, 500], rearmRatios: [0.3, 0.6, 1] };

function swept(seed: number) {
  const { signals, truth } = drawnTake(seed);
  const swings = [...truth.swings].sort((a, b) => a.peakUs - b.peakUs);
  return { signals, swings, sweep: sweepDeflection({ signals, swings, base, ...axes }) };
}

test('the sum over takes equals, in every cell, a naive loop that runs and scores each take', () => {
  fc.assert(
    fc.property(fc.nat(), (seed) => {
      const takes = [swept(seed), swept(seed + 1), swept(seed + 2)];
      const sum = sumDeflection(takes.map((take) => take.sweep));
      axes.speedsDps.forEach((speedDps, s) => {
        axes.rearmRatios.forEach((rearmRatio, r) => {
          const cell = s * axes.rearmRatios.length + r;
          const scores = takes.map(({ signals, swings }) => {
            const fires = runDeflection(signals, { ...base, speedDps, rearmRatio });
            return scoreDeflection({ signals, fires, swings });
          });
          const total = (of: (score: (typeof scores)[number]) => number) =>
            scores.reduce((all, score) => all + of(score), 0);
          expect(sum.swings).toBe(total((score) => score.swings));
          expect(sum.once[cell]).toBe(total((score) => score.once.k));
          expect(sum.missed[cell]).toBe(total((score) => score.missed.k));
          expect(sum.twice[cell]).toBe(total((score) => score.twice.k));
          expect(sum.outside[cell]).toBe(total((score) => score.outside));
          const delays = scores.flatMap((score) => score.delayMs?.median ?? []);
          expect(sum.delayMedianMs[cell]).toBe(delays.length === 0 ? Number.NaN : Math.max(...delays));
        });
      });
    }),
    { numRuns: 25 },
  );
});

describe('the suggestion', () => {
  test('lies within 1 swing in 50 of the fewest wrong deflections, by a naive search', () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const { sweep } = swept(seed);
        const found = suggestDeflection(sweep)!;
        const wrong = [...sweep.missed].map((missed, i) => missed + sweep.twice[i]! + sweep.outside[i]!);
        expect(wrong[found.cell]! - Math.min(...wrong)).toBeLessThan(Math.max(1, sweep.swings / 50));
        expect(found.once).toMatchObject({ k: sweep.once[found.cell], n: sweep.swings });
        expect(found.region[found.cell]).toBe(1);
      }),
      { numRuns: 25 },
    );
  });

  test('there is none without a swing', () => {
    const { signals } = drawnTake(1);
    expect(suggestDeflection(sweepDeflection({ signals, swings: [], base, ...axes }))).toBe(null);
  });

  test('costs count from the best setting on', () => {
    expect(Math.min(...deflectionCost(swept(3).sweep))).toBe(0);
  });
});

test('no sweep, and sweeps over different settings, are refused', () => {
  const { signals, swings, sweep } = swept(1);
  expect(() => sumDeflection([])).toThrow('no sweep');
  const other = sweepDeflection({ signals, swings, base, ...axes, rearmRatios: [0.3, 0.6, 0.9] });
  expect(() => sumDeflection([sweep, other])).toThrow('different settings');
});
