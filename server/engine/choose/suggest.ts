import { findPlateau, type Plateau, type Rise, riseWithin } from '../sweep/plateau.ts';
import { type Wrong, wrongOf } from './claim.ts';
import { costOf, type Outcome } from './cost.ts';
import { type Decline, declineOn } from './decline.ts';
import type { TakeEvidence } from './evidence.ts';
import type { GuardGrid } from './takeSweep.ts';

export interface Suggestion {
  readonly kind: 'suggestion';
  readonly speedDps: number;
  readonly holdMs: number;
  readonly plateau: Plateau;
  /** Place of the suggestion in the grid. */
  readonly cell: number;
  /** 1 for every cell of the plateau. */
  readonly region: Uint8Array;
  readonly strayLetThrough: Wrong;
  readonly wantedRefused: Wrong;
  readonly reversals: number;
  readonly reversalsOpen: number;
  /** So many more reversals may be open within the margins. */
  readonly moreOpen: Rise;
  readonly quietS: number;
  /** So much more of the quiet time may be closed there, in seconds. */
  readonly moreClosedS: Rise;
  /** Part of the quiet time in which the guard is closed; null where there is none. */
  readonly quietClosedShare: number | null;
  readonly openShare: number | null;
  readonly waitMedianMs: number | null;
}

export type Choice = Suggestion | ({ readonly kind: 'declined' } & { readonly decline: Decline });

/** Of presses of a kind, so many may still be wrong at the best of all settings before labels count as contradictory. */
export const MOST_WRONG_SHARE = 0.25;

/**
 * The setting to choose on the best plateau, or why there is none.
 * @param grid  the sum over the takes that are fit. @param evidence  of all takes asked about.
 */
export function suggest(grid: GuardGrid | null, evidence: readonly TakeEvidence[]): Choice {
  const decline = declineOn(evidence);
  if (decline !== null) return { kind: 'declined', decline };
  if (grid === null) throw new RangeError('there is evidence but no grid');
  const suggestion = suggestOn(grid);
  const contradiction = contradictionOf(suggestion);
  return contradiction === null ? suggestion : { kind: 'declined', decline: contradiction };
}

/** The setting to choose of the best ones, whatever they are worth: the shortest hold with enough room. See `findPlateau`. */
export function guardPlateau(outcome: Outcome): { readonly plateau: Plateau; readonly cell: number } {
  // Whatever the labels, the cells of a swing's speed have a finite cost.
  const plateau = findPlateau([...outcome.speedsDps], [...outcome.holdsMs], costOf(outcome))!;
  return { plateau, cell: plateau.xIndex * outcome.holdsMs.length + plateau.yIndex };
}

/** The same with what it comes to. */
export function suggestOn(grid: GuardGrid): Suggestion {
  const { plateau, cell } = guardPlateau(grid);
  const orNull = (value: number) => (Number.isNaN(value) ? null : value);
  return {
    kind: 'suggestion',
    speedDps: plateau.x,
    holdMs: plateau.y,
    plateau,
    cell,
    region: plateau.region,
    strayLetThrough: wrongOf(grid.strayLetThrough[cell]!, grid.strays),
    wantedRefused: wrongOf(grid.wantedRefused[cell]!, grid.wanted),
    reversals: grid.reversals,
    reversalsOpen: grid.reversalsOpen[cell]!,
    moreOpen: riseWithin(plateau, grid.holdsMs.length, grid.reversalsOpen),
    quietS: grid.quietS,
    moreClosedS: riseWithin(plateau, grid.holdsMs.length, grid.quietClosedS),
    quietClosedShare: grid.quietS === 0 ? null : grid.quietClosedS[cell]! / grid.quietS,
    openShare: orNull(grid.openShare[cell]!),
    waitMedianMs: orNull(grid.waitMedianMs[cell]!),
  };
}

function contradictionOf({ strayLetThrough, wantedRefused }: Suggestion): Decline | null {
  const isBad = ({ k, n }: Wrong) => k > MOST_WRONG_SHARE * n;
  if (!isBad(strayLetThrough) && !isBad(wantedRefused)) return null;
  const text = `The labels contradict one another: the best of all settings still lets ${strayLetThrough.k} of ${strayLetThrough.n} stray presses through and refuses ${wantedRefused.k} of ${wantedRefused.n} wanted ones.`;
  const advice = [
    'Check the labels: a press in mid-swing can hardly have been wanted, nor one long after a stop stray.',
    'If they are right, no speed guard can tell these presses apart: wait longer after a stop, or judge the other moment of the press.',
  ];
  return { kind: 'contradictory', text, advice };
}
