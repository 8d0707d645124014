import { expect, test } from 'vitest';
import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import { type JudgedMark, saidOf, worstOf } from '../../../web/panels/tune/worst.ts';

function mark(pressIndex: number, fate: JudgedMark['fate'], beforeMs: number | null = 0): JudgedMark {
  return { fate, verdict: { pressIndex, beforeMs } as PressVerdict };
}

test.each([
  [
    'the stray one that asks for the longest hold',
    [mark(0, 'strayLetThrough', 60), mark(1, 'strayLetThrough', 90)],
    1,
  ],
  ['of equal ones the first', [mark(0, 'strayLetThrough', 60), mark(1, 'strayLetThrough', 60)], 0],
  [
    'one that no hold helps before all others',
    [mark(0, 'strayLetThrough', 900), mark(1, 'strayLetThrough', null)],
    1,
  ],
  ['a stray one before a wanted one', [mark(0, 'wantedRefused'), mark(1, 'strayLetThrough', 1)], 1],
  [
    'a wanted one that is refused where no stray one gets through',
    [mark(0, 'strayRefused'), mark(1, 'wantedRefused')],
    1,
  ],
  [
    'none where all went right',
    [mark(0, 'strayRefused'), mark(1, 'wantedAccepted'), mark(2, 'unlabelledAccepted')],
    null,
  ],
])('the worst press is %s', (_name, marks, expected) => {
  expect(worstOf(marks)?.verdict.pressIndex ?? null).toBe(expected);
});

const STRAYS = [mark(0, 'strayLetThrough', 60), mark(1, 'strayRefused'), mark(2, 'strayLetThrough', 90)];
test.each([
  ['the worst where none is chosen', null, 2],
  ['the chosen one where it went wrong', 0, 0],
  ['the worst where the chosen one went right', 1, 2],
  ['the worst where the chosen one is out of sight', 7, 2],
])('the press that is told of is %s', (_name, chosen, expected) => {
  expect(saidOf(STRAYS, chosen)?.verdict.pressIndex).toBe(expected);
});
