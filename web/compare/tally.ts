import type { PressOutcome } from '../../server/engine/compare/takeScores.ts';

/** The counts that the list of takes shows for each. */
export interface Tally {
  readonly slips: number;
  readonly strays: number;
  readonly refused: number;
  readonly wanted: number;
}

export function tallyOf(outcomes: readonly PressOutcome[]): Tally {
  const of = (kind: 'stray' | 'wanted') => outcomes.filter(({ intent }) => intent === kind);
  const wrong = (kind: 'stray' | 'wanted') => of(kind).filter(({ isRight }) => !isRight).length;
  return {
    slips: wrong('stray'),
    strays: of('stray').length,
    refused: wrong('wanted'),
    wanted: of('wanted').length,
  };
}
