import { expect, test } from 'vitest';
import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import { bandsOf, bandText, bandTitle, isCrowded } from '../../../web/panels/tune/crowd.ts';
import { type JudgedMark, JudgedMarks, type MarksInSight } from '../../../web/state/judgedMarks.ts';
import { seededRandom } from '../../seeded.ts';

const FATES = ['strayLetThrough', 'strayRefused', 'wantedAccepted', 'wantedRefused', 'unknown'] as const;

function marksAt(momentsUs: readonly number[], fateOf: (k: number) => JudgedMark['fate']): MarksInSight {
  const marks = momentsUs.map((downUs, pressIndex) => {
    return { fate: fateOf(pressIndex), verdict: { pressIndex, press: { downUs } } as PressVerdict };
  });
  return new JudgedMarks(marks).whole;
}

test('marks with room for each are no crowd', () => {
  const marks = marksAt([1e6, 2e6, 3e6], () => 'strayRefused');
  expect(isCrowded(marks, 42)).toBe(false);
  expect(isCrowded(marks, 41)).toBe(true);
  expect(
    isCrowded(
      marksAt([], () => 'unknown'),
      0,
    ),
  ).toBe(false);
});

test('each press is counted once, in the band that holds it, whatever the window', () => {
  const random = seededRandom(3);
  for (let round = 0; round < 200; ++round) {
    const startUs = Math.round(random() * 3e9);
    const window = { startUs, endUs: startUs + Math.round(1e5 + random() * 3e9) };
    const moments = Array.from({ length: 300 }, () =>
      Math.round(startUs + random() * (window.endUs - startUs)),
    ).sort((a, b) => a - b);
    const marks = marksAt(moments, () => FATES[Math.floor(random() * FATES.length)]!);
    const bands = bandsOf(marks, window, 50 + Math.floor(random() * 900));
    expect(bands.reduce((sum, { total }) => sum + total, 0)).toBe(300);
    for (const { startUs: from, endUs: to, total, wrong, counts } of bands) {
      // A moment within rounding of a border belongs to either side.
      const inside = marks
        .list()
        .filter(({ verdict: { press } }) => press.downUs >= from && press.downUs < to);
      expect(Math.abs(inside.length - total)).toBeLessThanOrEqual(1);
      expect(Object.values(counts).reduce((sum, count) => sum + count, 0)).toBe(total);
      expect(wrong).toBe((counts.strayLetThrough ?? 0) + (counts.wantedRefused ?? 0));
    }
  }
});

test('bands of a part of a take count the presses of that part alone, by their fates', () => {
  const random = seededRandom(5);
  for (let round = 0; round < 50; ++round) {
    const moments = Array.from({ length: 400 }, () => Math.round(random() * 1e9)).sort((a, b) => a - b);
    const whole = marksAt(moments, () => FATES[Math.floor(random() * FATES.length)]!);
    const startUs = Math.round(random() * 8e8);
    const window = { startUs, endUs: startUs + Math.round(1e7 + random() * 5e8) };
    const marks = whole.all.inSight(window);
    const bands = bandsOf(marks, window, 600);
    let next = marks.list();
    for (const { total, counts } of bands) {
      const counted: Record<string, number> = {};
      for (const { fate } of next.slice(0, total)) counted[fate] = (counted[fate] ?? 0) + 1;
      expect(counts).toEqual(counted);
      next = next.slice(total);
    }
    expect(next).toEqual([]);
  }
});

test('a pan shifts bands and counts none anew', () => {
  const moments = Array.from({ length: 100 }, (_, k) => 1e6 + k * 10_000);
  const marks = marksAt(moments, (k) => FATES[k % 5]!);
  const inner = (from: number) =>
    bandsOf(marks, { startUs: from, endUs: from + 4e6 }, 480).map(({ startUs, total }) => [startUs, total]);
  expect(inner(0)).toEqual(inner(123_456));
});

test('the words tell every fate, the worst first', () => {
  const marks = marksAt(
    [1, 2, 3],
    (k) => (['strayRefused', 'wantedRefused', 'strayLetThrough'] as const)[k]!,
  );
  const [band] = bandsOf(marks, { startUs: 0, endUs: 1e6 }, 24);
  expect(bandTitle(band!)).toBe('3 presses');
  expect(bandText(band!)).toBe('1 stray let through, 1 wanted refused, 1 stray refused. Click to zoom in.');
});
