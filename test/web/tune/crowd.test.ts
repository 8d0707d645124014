import { expect, test } from 'vitest';
import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import { bandsOf, bandText, bandTitle, isCrowded } from '../../../web/panels/tune/crowd.ts';
import type { JudgedMark } from '../../../web/panels/tune/worst.ts';
import { seededRandom } from '../../seeded.ts';

const FATES = ['strayLetThrough', 'strayRefused', 'wantedAccepted', 'wantedRefused', 'unknown'] as const;

function marksAt(momentsUs: readonly number[], fateOf: (k: number) => JudgedMark['fate']): JudgedMark[] {
  return momentsUs.map((downUs, pressIndex) => {
    return { fate: fateOf(pressIndex), verdict: { pressIndex, press: { downUs } } as PressVerdict };
  });
}

test('marks with room for each are no crowd', () => {
  const marks = marksAt([1e6, 2e6, 3e6], () => 'strayRefused');
  expect(isCrowded(marks, 42)).toBe(false);
  expect(isCrowded(marks, 41)).toBe(true);
  expect(isCrowded([], 0)).toBe(false);
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
      const inside = marks.filter(({ verdict: { press } }) => press.downUs >= from && press.downUs < to);
      expect(Math.abs(inside.length - total)).toBeLessThanOrEqual(1);
      expect(Object.values(counts).reduce((sum, count) => sum + count, 0)).toBe(total);
      expect(wrong).toBe((counts.strayLetThrough ?? 0) + (counts.wantedRefused ?? 0));
    }
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
