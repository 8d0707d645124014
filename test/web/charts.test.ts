import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { extremesOver, findExtremes } from '../../server/engine/statistics/extremes.ts';
import { extremesOf } from '../../web/charts/extremes.ts';
import { spanPath } from '../../web/charts/laneShapes.ts';
import { formatMoment } from '../../web/charts/stave.ts';
import { clampWindow, panBy, zoomAbout } from '../../web/charts/view.ts';
import { viewData } from '../../web/charts/viewData.ts';

const columns = (count: number) =>
  fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: count, maxLength: 700 });

describe('extremes', () => {
  test('is built once for each channel', () => {
    const values = Float64Array.from({ length: 200 }, (_, i) => Math.sin(i));
    expect(extremesOf(values)).toEqual(findExtremes(values));
    expect(extremesOf(values)).toBe(extremesOf(values));
    expect(extremesOf(values.slice())).not.toBe(extremesOf(values));
  });

  test('over any stretch equal a plain search', () => {
    fc.assert(
      fc.property(columns(1), fc.nat(), fc.nat(), (list, p, q) => {
        const values = Float64Array.from(list);
        const start = Math.min(p % list.length, q % list.length);
        const end = Math.max(p % list.length, q % list.length) + 1;
        const out = new Float64Array(2);
        extremesOver(findExtremes(values), start, end, out);
        const part = list.slice(start, end);
        expect([out[0], out[1]]).toEqual([Math.min(...part), Math.max(...part)]);
      }),
    );
  });
});

describe('viewData', () => {
  const timeUs = Float64Array.from({ length: 10_000 }, (_, i) => i * 1000);
  const values = Float64Array.from(timeUs, (t) => Math.sin(t / 3e5) * 100);
  const whole = { startUs: 0, endUs: 10_000_000 };
  const timeline = { timeUs, segments: [{ start: 0, end: 10_000 }] };

  test('a zoomed-out view has at most two points a pixel column and loses no peak', () => {
    const data = viewData(timeline, [findExtremes(values)], whole, 200);
    expect(data.isDense).toBe(true);
    expect(data.seconds.length).toBeLessThanOrEqual(2 * 210);
    expect(Math.max(...data.channels[0]!)).toBe(Math.max(...values));
    expect(Math.min(...data.channels[0]!)).toBe(Math.min(...values));
  });
  test('a close view shows the samples themselves', () => {
    const data = viewData(timeline, [findExtremes(values)], { startUs: 1_000_000, endUs: 1_050_000 }, 800);
    expect(data.isDense).toBe(false);
    expect(data.seconds).toContain(1.025);
    expect(data.channels[0]![data.seconds.indexOf(1.025)]).toBe(values[1025]);
  });
  test('no line crosses a gap', () => {
    const split = {
      timeUs,
      segments: [
        { start: 0, end: 4000 },
        { start: 4000, end: 10_000 },
      ],
    };
    const data = viewData(split, [findExtremes(values)], whole, 200);
    expect(data.channels[0]!.filter(Number.isNaN)).toHaveLength(1);
  });
  test('NaN is drawn as nothing', () => {
    const holed = values.map((value, i) => (i < 64 ? Number.NaN : value));
    const data = viewData(timeline, [findExtremes(holed)], { startUs: 0, endUs: 40_000 }, 800);
    expect(data.channels[0]![0]).toBeNaN();
  });
  test('times never run backwards, which uPlot needs', () => {
    const split = {
      timeUs,
      segments: [
        { start: 0, end: 4000 },
        { start: 4000, end: 10_000 },
      ],
    };
    for (const pixels of [1, 7, 200, 5000]) {
      const { seconds } = viewData(split, [findExtremes(values)], whole, pixels);
      expect(seconds.every((t, i) => i === 0 || t >= seconds[i - 1]!)).toBe(true);
    }
  });
});

describe('the visible window', () => {
  const durationUs = 60_000_000;
  test('zooming keeps the moment under the pointer where it is', () => {
    const zoomed = zoomAbout({ startUs: 10_000_000, endUs: 30_000_000 }, 15_000_000, 0.5, durationUs)!;
    expect((15_000_000 - zoomed.startUs) / (zoomed.endUs - zoomed.startUs)).toBeCloseTo(0.25, 6);
  });
  test('panning stops at the ends', () => {
    expect(panBy({ startUs: 10_000_000, endUs: 30_000_000 }, -50_000_000, durationUs)).toEqual({
      startUs: 0,
      endUs: 20_000_000,
    });
    expect(panBy({ startUs: 10_000_000, endUs: 30_000_000 }, 90_000_000, durationUs)).toEqual({
      startUs: 40_000_000,
      endUs: 60_000_000,
    });
  });
  test('a window as long as the take is the whole take', () => {
    expect(clampWindow({ startUs: -5, endUs: durationUs + 5 }, durationUs)).toBeNull();
  });
});

describe('lanes', () => {
  const spans = Array.from({ length: 1000 }, (_, i) => ({ startUs: i * 1000, endUs: i * 1000 + 500 }));
  test('spans closer than a third of a pixel become one rectangle', () => {
    expect(spanPath(spans, { startUs: 0, endUs: 1_000_000 }, 1000, 0, 10).match(/M/g)!.length).toBe(1000);
    expect(spanPath(spans, { startUs: 0, endUs: 1_000_000 }, 100, 0, 10).match(/M/g)!.length).toBeLessThan(
      120,
    );
  });
  test('only spans in sight are drawn', () => {
    expect(
      spanPath(spans, { startUs: 10_000, endUs: 12_000 }, 500, 0, 10).match(/M/g)!.length,
    ).toBeLessThanOrEqual(4);
  });
});

test.each([
  [0, 2, '0.00 s'],
  [59_940_000, 2, '59.94 s'],
  [60_000_000, 2, '1:00.00'],
  [2_130_000_000, 2, '35:30.00'],
  [3_599_999_000, 3, '59:59.999'],
])('a moment of %d µs is told as the time axis does, to %d decimals: %s', (us, decimals, told) => {
  expect(formatMoment(us, decimals)).toBe(told);
});
