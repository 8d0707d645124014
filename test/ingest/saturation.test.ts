import { describe, expect, test } from 'vitest';
import { markSaturation } from '../../server/ingest/units/saturation.ts';
import { seededNormal, seededRandom } from '../seeded.ts';

const sine = (peak: number, rows = 2000, period = 200) =>
  Float64Array.from({ length: rows }, (_, i) => peak * Math.sin((2 * Math.PI * i) / period));
const clip = (values: Float64Array, high: number, low = -high) =>
  values.map((value) => Math.min(high, Math.max(low, value)));

function mark(values: Float64Array, kind: 'gyro' | 'accel' = 'gyro', perUnit = 1) {
  const mask = new Uint8Array(values.length);
  const { count, limits } = markSaturation(values, kind, perUnit, mask);
  expect(mask.reduce((sum, bit) => sum + bit, 0)).toBe(count);
  return { count, limits };
}

describe('saturation', () => {
  // 0x7FFF and 0x8000; runs of two or more at the ends are clipping (two's complement).
  test('codes stuck at 32767 and -32768', () => {
    const values = clip(sine(50_000), 32_767, -32_768).map(Math.round);
    const { count, limits } = mark(values, 'gyro', 1 / 16.4);
    expect(limits).toEqual([32_767, -32_768]);
    expect(count).toBe(values.filter((v) => v === 32_767 || v === -32_768).length);
    expect(count).toBeGreaterThan(500);
  });

  test('one single sample at 32767 is no clipping', () => {
    const values = sine(20_000).map(Math.round);
    values[77] = 32_767;
    expect(mark(values)).toEqual({ count: 0, limits: [] });
  });

  // 32767 / 16.4 = 1997.99 deg/s: the end lies below the round full scale (UNI-3 of common datasheets [recomputed]).
  test.each([
    ['2000 deg/s at 16.4 codes per deg/s', 1997.99, 'gyro', 1],
    ['2000 deg/s at 70 mdeg/s per code', 2293.69, 'gyro', 1],
    ['16 g in m/s2', 156.9064, 'accel', 1 / 9.80665],
    ['8 g, one code below', 7.99976, 'accel', 1],
  ] as const)('%s', (_name, end, kind, perUnit) => {
    const values = clip(sine(end * 1.05), end);
    expect(mark(values, kind, perUnit).limits).toEqual([end, -end]);
  });

  test('a limit at no common full scale counts where the trace runs into it steeply', () => {
    const normal = seededNormal(3);
    const values = clip(
      sine(900).map((value) => value + normal()),
      711.5,
    );
    expect(mark(values).limits).toEqual([711.5, -711.5]);
  });

  test.each([
    ['a smooth peak', sine(700)],
    ['a slow peak in coarse steps', sine(100, 4000, 4000).map(Math.round)],
    [
      'noise of a few codes at rest',
      Float64Array.from({ length: 5000 }, (_, i) => [0, 1, 0, -1, 2, 1, 0, 0, -1][(i * 7) % 9]!),
    ],
    ['a constant', new Float64Array(100).fill(2000)],
    // Peaks beside a full scale of 2000 that differ from one another are no end of a range.
    [
      'smooth peaks that happen to reach a full scale',
      sine(2002.4, 2000, 137).map((value, i) => value * (1 - 1e-5 * (i % 7))),
    ],
    [
      'rows that are each logged twice',
      Float64Array.from({ length: 4000 }, (_, i) => 700 * Math.sin(Math.floor(i / 2) / 31)),
    ],
  ])('%s is none', (_name, values) => expect(mark(values)).toEqual({ count: 0, limits: [] }));

  test('only one end may be stuck', () => {
    const lopsided = sine(1500).map((value) => value + 700);
    expect(mark(clip(lopsided, 1000, -9999)).limits).toEqual([1000]);
  });

  // A range has ends of one size, but for the bias that was taken off.
  test('an end that the opposite peak exceeds is none, even at a full scale', () => {
    expect(mark(clip(sine(1500), 1000, -9999))).toEqual({ count: 0, limits: [] });
    const normal = seededNormal(3);
    const noisy = sine(1500).map((value, i) => (i < 300 ? 0 : value) + normal());
    expect(mark(clip(noisy, 1000, -1012)).limits).toEqual([1000, -1012]);
  });

  test.each([
    ['once, at the peak', [500]],
    ['once at each peak, but of different size', [500, 900]],
  ])('a value that is held %s is none', (_name, tops) => {
    const values = sine(683.7);
    for (const at of tops) for (let i = at; i < at + 4; ++i) values[i] = values[at]!;
    values[tops[0]! - 1] = 0.9 * values[tops[0]!]!;
    expect(mark(values)).toEqual({ count: 0, limits: [] });
  });

  test('a held value near a full scale, but not at it, is none', () => {
    const values = sine(499.8);
    for (let i = 50; i < 54; ++i) values[i] = 499.8;
    expect(mark(values)).toEqual({ count: 0, limits: [] });
  });

  test('each sample at an end that is stuck is counted, whatever comes first', () => {
    const random = seededRandom(11);
    for (let round = 0; round < 200; ++round) {
      const steps = Array.from({ length: 60 }, () => [-2000, -1990, -900, 0, 900, 1990, 2000]);
      const values = Float64Array.from(steps, (all) => all[Math.floor(random() * all.length)]!);
      const high = Math.max(...values);
      const low = Math.min(...values);
      const isTwice = (end: number) => values.some((value, i) => value === end && values[i + 1] === end);
      const isExceeded = (end: number) => Math.max(high, -low) > Math.abs(end) * 1.03;
      const ends = [high, low].filter((end) => Math.abs(end) === 2000 && isTwice(end) && !isExceeded(end));
      expect(mark(values)).toEqual({
        count: values.filter((value) => ends.includes(value)).length,
        limits: ends,
      });
    }
  });
});
