import { describe, expect, test } from 'vitest';
import type { HeldOut } from '../../../../server/engine/choose/leaveOut.ts';
import {
  type HeldColumn,
  heldWords,
  lackText,
  wrongIn,
} from '../../../../server/engine/words/choose/heldOut.ts';

const COLUMNS: readonly HeldColumn[] = [
  { part: 'strays', name: 'strays', isBad: true },
  { part: 'wanted', name: 'wanted', isBad: true },
  { part: 'reversals', name: 'reversals' },
];

/** Two takes left out in turn, of which the second is the worse. */
function held(strays: number, reversals: number): HeldOut {
  const fold = (name: string, k: number, open: number) => ({
    name,
    setting: { x: 200, y: 100 },
    lack: null,
    wrong: { strays: { k, n: 10 }, wanted: { k: 0, n: 10 }, reversals: { k: open, n: 19 } },
  });
  const folds = [fold('Drill', 0, 0), fold('Routine', strays, reversals)];
  return { folds, worst: folds[1]!, wrong: folds[1]!.wrong };
}

describe('what the choice made without one comes to for that one', () => {
  test('nothing wrong, nothing open', () => {
    expect(heldWords('guard', held(0, 0), COLUMNS)).toBe(
      'What was chosen without one held for that one, each time.',
    );
  });

  test('an open reversal is no wrong press, and is told of all the same', () => {
    expect(wrongIn(held(0, 1).worst!, COLUMNS)).toBe(0);
    expect(heldWords('guard', held(0, 1), COLUMNS)).toBe(
      'What was chosen without one got no press of that one wrong, each time. In Routine, left out, 1 of 19 reversals stay open: the most of any.',
    );
  });

  test('where none that could go wrong was left out, it claims nothing', () => {
    const all = held(0, 0);
    const wrong = { ...all.wrong, strays: { k: 0, n: 0 } };
    expect(heldWords('guard', { ...all, wrong }, COLUMNS)).toBe(
      'No choice was tried on strays: leaving them out leaves nothing to choose by.',
    );
  });

  test('a wrong press is what is told of', () => {
    expect(wrongIn(held(2, 1).worst!, COLUMNS)).toBe(2);
    expect(heldWords('guard', held(2, 1), COLUMNS)).toMatch(
      /^Chosen without Routine, the setting gets 2 wrong there/,
    );
  });
});

test.each([
  ['guard', 'strays', 0, 'the others hold no stray press to choose by'],
  ['guard', 'strays', 4, 'the others hold 4 stray presses, too few to choose by: it takes 5'],
  ['guard', 'wanted', 1, 'the others hold 1 wanted press, too few to choose by: it takes 5'],
  ['motion', 'wanted', 2, 'the others hold 2 stops, too few to choose by: it takes 5'],
  ['deflection', 'swings', 0, 'the others hold no swing to choose by'],
  ['stab', 'gestures', 4, 'the others hold 4 thrusts, too few to choose by: it takes 5'],
  ['stab', 'others', 0, 'the others hold no other movement to choose by'],
] as const)('what %s lacks: %s, %d', (kind, size, have, text) => {
  expect(lackText(kind, { lack: { size, have } })).toBe(text);
});
