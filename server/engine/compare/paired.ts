import { mcnemar } from '../statistics/mcnemar.ts';
import type { PressOutcome } from './takeScores.ts';

/** Two candidates on the same presses. */
export interface Pairing {
  readonly bothRight: number;
  readonly onlyA: number;
  readonly onlyB: number;
  readonly bothWrong: number;
  /** Presses that only one of the two could judge: left out. */
  readonly unpaired: number;
  /** p of McNemar's exact test; null where no press tells the candidates apart. */
  readonly p: number | null;
  /** Further differing presses until the exact test could find any difference at all; 0 where it can. */
  readonly missing: number;
  /** Differing presses in all until the same split would be significant; null where it is already, or is even. */
  readonly neededAtThisSplit: number | null;
}

export const SIGNIFICANCE = 0.05;

/**
 * The fewest differing presses with which the exact two-sided test can go below `SIGNIFICANCE`: all of them in favour of
 * one candidate give p = 2 · 0.5ⁿ.
 */
export const LEAST_DIFFERING = Math.floor(1 - Math.log2(SIGNIFICANCE)) + 1;

/** Beyond this many presses the split is as good as even. */
const MOST_NEEDED = 2000;

/** @param takes  the outcomes of A and of B on each take */
export function pairOutcomes(
  takes: readonly { readonly a: readonly PressOutcome[]; readonly b: readonly PressOutcome[] }[],
): Pairing {
  const counts = { bothRight: 0, onlyA: 0, onlyB: 0, bothWrong: 0, unpaired: 0 };
  for (const { a, b } of takes) {
    const ofB = new Map(b.map((outcome) => [outcome.downUs, outcome.isRight]));
    for (const { downUs, isRight } of a) {
      const other = ofB.get(downUs);
      ofB.delete(downUs);
      if (other === undefined) ++counts.unpaired;
      else if (isRight) ++counts[other ? 'bothRight' : 'onlyA'];
      else ++counts[other ? 'onlyB' : 'bothWrong'];
    }
    counts.unpaired += ofB.size;
  }
  const { onlyA, onlyB } = counts;
  const p = mcnemar(onlyA, onlyB);
  const isFound = p !== null && p < SIGNIFICANCE;
  return {
    ...counts,
    p,
    missing: Math.max(0, LEAST_DIFFERING - onlyA - onlyB),
    neededAtThisSplit: isFound ? null : neededAt(onlyA, onlyB),
  };
}

function neededAt(onlyA: number, onlyB: number): number | null {
  if (onlyA === onlyB) return null;
  const share = Math.max(onlyA, onlyB) / (onlyA + onlyB);
  for (let n = onlyA + onlyB; n <= MOST_NEEDED; ++n) {
    const most = Math.round(share * n);
    if (mcnemar(most, n - most)! < SIGNIFICANCE) return n;
  }
  return null;
}
