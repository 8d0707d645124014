import { describe, expect, test } from 'vitest';
import type { GuardHeldOut } from '../../server/engine/choose/heldOut.ts';
import { type HeldColumn, heldWords, wrongIn } from '../../web/panels/sweep/heldWords.ts';

const COLUMNS: readonly HeldColumn<'strays' | 'wanted' | 'reversals'>[] = [
  { name: 'strays', isBad: true },
  { name: 'wanted', isBad: true },
  { name: 'reversals' },
];

/** Two takes left out in turn, of which the second is the worse. */
function held(strays: number, reversals: number): GuardHeldOut {
  const fold = (name: string, k: number, open: number) => ({
    name,
    setting: { speedDps: 200, holdMs: 100 },
    why: null,
    strays: { k, n: 10 },
    wanted: { k: 0, n: 10 },
    reversals: { k: open, n: 19 },
  });
  const folds = [fold('Drill', 0, 0), fold('Routine', strays, reversals)];
  const { name: _, setting: __, why: ___, ...sums } = folds[1]!;
  return { folds, worst: folds[1]!, ...sums };
}

describe('what the choice made without one comes to for that one', () => {
  test('nothing wrong, nothing open', () => {
    expect(heldWords(held(0, 0), COLUMNS)).toBe('What was chosen without one held for that one, each time.');
  });

  test('an open reversal is no wrong press, and is told of all the same', () => {
    expect(wrongIn(held(0, 1).worst!, COLUMNS)).toBe(0);
    expect(heldWords(held(0, 1), COLUMNS)).toBe(
      'What was chosen without one got no press of that one wrong, each time. In Routine, left out, 1 of 19 reversals stay open: the most of any.',
    );
  });

  test('where none that could go wrong was left out, it claims nothing', () => {
    const { folds, worst, ...sums } = held(0, 0);
    const empty = { ...sums, strays: { k: 0, n: 0 } };
    expect(heldWords({ folds, worst, ...empty }, COLUMNS)).toBe(
      'No choice was tried on strays: leaving them out leaves nothing to choose by.',
    );
  });

  test('a wrong press is what is told of', () => {
    expect(wrongIn(held(2, 1).worst!, COLUMNS)).toBe(2);
    expect(heldWords(held(2, 1), COLUMNS)).toMatch(/^Chosen without Routine, the setting gets 2 wrong there/);
  });
});
