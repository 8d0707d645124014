import { expect, test } from 'vitest';
import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import { FATE_ORDER, type JudgedMark, JudgedMarks } from '../../../web/state/judgedMarks.ts';
import { seededRandom } from '../../seeded.ts';

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
  expect(new JudgedMarks(marks).whole.worst()?.verdict.pressIndex ?? null).toBe(expected);
});

const STRAYS = [mark(0, 'strayLetThrough', 60), mark(1, 'strayRefused'), mark(2, 'strayLetThrough', 90)];
test.each([
  ['the worst where none is chosen', null, 2],
  ['the chosen one where it went wrong', 0, 0],
  ['the worst where the chosen one went right', 1, 2],
  ['the worst where the chosen one is out of sight', 7, 2],
])('the press that is told of is %s', (_name, chosen, expected) => {
  expect(new JudgedMarks(STRAYS).whole.said(chosen)?.verdict.pressIndex).toBe(expected);
});

/** A plain look at each of them, one after another. */
function plainWorst(marks: readonly JudgedMark[]): JudgedMark | null {
  const holdMs = ({ verdict }: JudgedMark) => verdict.beforeMs ?? Number.POSITIVE_INFINITY;
  let worst: JudgedMark | null = null;
  for (const one of marks)
    if (one.fate === 'strayLetThrough' && (worst === null || holdMs(one) > holdMs(worst))) worst = one;
  return worst ?? marks.find(({ fate }) => fate === 'wantedRefused') ?? null;
}

test('what is told of a stretch of presses is what a plain look at each of them finds', () => {
  const random = seededRandom(11);
  const any = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)]!;
  for (let round = 0; round < 300; ++round) {
    // Few fates in some rounds, so that there are stretches in which none went wrong.
    const fates = FATE_ORDER.slice(Math.floor(random() * 3));
    const holds = [null, 0, 40, 40, 90, 1e4];
    const all = Array.from({ length: Math.floor(random() * 400) }, (_, k) => {
      const { verdict, fate } = mark(k, random() < 0.6 ? any(fates) : 'strayRefused', any(holds));
      return { fate, verdict: { ...verdict, press: { downUs: 1e5 * Math.floor(k / 2) } } as PressVerdict };
    });
    const startUs = Math.round(random() * 2e7);
    const window = { startUs, endUs: startUs + Math.round(random() * 1e7) };
    const plain = all.filter(
      ({ verdict: { press } }) => press.downUs >= window.startUs && press.downUs <= window.endUs,
    );
    const marks = new JudgedMarks(all).inSight(window);
    expect(marks.list()).toEqual(plain);
    expect(marks.worst()).toBe(plainWorst(plain));
    for (const fate of FATE_ORDER)
      expect(marks.count(fate)).toBe(plain.filter((one) => one.fate === fate).length);
    const chosen = Math.floor(random() * 400);
    const own = plain.find(({ verdict, fate }) => {
      return verdict.pressIndex === chosen && (fate === 'strayLetThrough' || fate === 'wantedRefused');
    });
    expect(marks.said(chosen)).toBe(own ?? plainWorst(plain));
  }
});

test('the presses in sight are one object as long as they are the same', () => {
  const press = (pressIndex: number, downUs: number): JudgedMark => {
    return { fate: 'unknown', verdict: { pressIndex, press: { downUs } } as PressVerdict };
  };
  const marks = new JudgedMarks([press(0, 1e6), press(1, 2e6), press(2, 3e6)]);
  const seen = marks.inSight({ startUs: 15e5, endUs: 25e5 });
  expect(marks.inSight({ startUs: 16e5, endUs: 26e5 })).toBe(seen);
  expect(marks.inSight({ startUs: 15e5, endUs: 35e5 })).not.toBe(seen);
  expect(new JudgedMarks(marks.marks).inSight({ startUs: 0, endUs: 4e6 }).list()).toEqual(marks.marks);
});
