import { describe, expect, test } from 'vitest';
import type { FrontPoint } from '../../server/engine/choose/tradeOff.ts';
import type { GuardSweep } from '../../server/engine/sweep/guardSweep.ts';
import { outlinePath } from '../../server/engine/sweep/outline.ts';
import { rampColour } from '../../web/panels/plot/ramp.ts';
import { familyFronts, staircase } from '../../web/panels/sweep/families.ts';
import { mapScale } from '../../web/panels/sweep/mapScale.ts';
import { mapPixels } from '../../web/panels/sweep/paintMap.ts';

describe('the ramp', () => {
  /** Relative luminance as WCAG 2.2 defines it. */
  const luminance = (colour: readonly number[]): number => {
    const [r, g, b] = colour.map((part) => {
      const value = part / 255;
      return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
  };
  /** CIE 1976 lightness. */
  const lightness = (colour: readonly number[]): number => 116 * Math.cbrt(luminance(colour)) - 16;

  test.each([
    ['light', -1],
    ['dark', 1],
  ] as const)(
    'in the %s scheme lightness goes one way, and evenly: it can be read without hue',
    (scheme, sign) => {
      const steps = Array.from({ length: 33 }, (_, i) => lightness(rampColour(i / 32, scheme)));
      const differences = steps.slice(1).map((value, i) => sign * (value - steps[i]!));
      const mean = (sign * (steps.at(-1)! - steps[0]!)) / 32;
      expect(sign * (steps.at(-1)! - steps[0]!)).toBeGreaterThan(55);
      // OKLab's lightness and CIE's differ, above all for reds: no step is more than 60 % off the mean one
      for (const difference of differences) expect(Math.abs(difference - mean)).toBeLessThan(0.6 * mean);
    },
  );

  test('a place beyond its ends is its end', () => {
    expect(rampColour(-1, 'light')).toEqual(rampColour(0, 'light'));
    expect(rampColour(2, 'dark')).toEqual(rampColour(1, 'dark'));
  });

  test('colours are whole numbers from 0 to 255', () => {
    for (let i = 0; i <= 20; ++i) {
      for (const part of [...rampColour(i / 20, 'light'), ...rampColour(i / 20, 'dark')]) {
        expect(Number.isInteger(part) && part >= 0 && part <= 255).toBe(true);
      }
    }
  });
});

describe('the scale of a map', () => {
  test('a count of none has no place on the ramp; one has, and can be told from none', () => {
    const scale = mapScale([0, 1, 4, 16], true);
    expect(scale.place(0)).toBe(null);
    expect([1, 4, 16].map(scale.place)).toEqual([0.25, 0.5, 1]);
    expect(scale.ticks[0]).toBe(1);
    expect(scale.ticks.at(-1)).toBe(16);
  });

  test('counts are whole at the ticks, and none comes twice', () => {
    for (let max = 1; max < 80; ++max) {
      const { ticks } = mapScale([max], true);
      expect(ticks.every(Number.isInteger)).toBe(true);
      expect([...new Set(ticks)].sort((a, b) => a - b)).toEqual(ticks);
      expect(ticks.at(-1)).toBe(max);
    }
  });

  test('shares go from 0 to the largest; NaN has no place', () => {
    const scale = mapScale([Number.NaN, 0.1, 0.4], false);
    expect([0, 0.2, 0.4].map(scale.place)).toEqual([0, 0.5, 1]);
    expect(scale.place(Number.NaN)).toBe(null);
    expect(mapScale([0, 0], false).place(0)).toBe(0);
  });
});

test('a map’s picture runs x to the right and y upwards, with colours of their own for none and for unknown', () => {
  const colours = { scheme: 'light', none: [1, 2, 3], blank: [4, 5, 6] } as const;
  // two values of x, three of y
  const values = [0, 4, Number.NaN, 1, 0, 2];
  const pixels = mapPixels(values, 3, mapScale(values, true), colours);
  const at = (row: number, column: number) => [
    ...pixels.subarray(4 * (2 * row + column), 4 * (2 * row + column) + 4),
  ];
  expect(at(2, 0)).toEqual([1, 2, 3, 255]);
  expect(at(1, 0)).toEqual([...rampColour(1, 'light'), 255]);
  expect(at(0, 0)).toEqual([4, 5, 6, 255]);
  expect(at(2, 1)).toEqual([...rampColour(0.5, 'light'), 255]);
  expect(at(1, 1)).toEqual([1, 2, 3, 255]);
});

describe('an outline', () => {
  /** Length of the edges drawn, by unit cells. */
  const length = (path: string): number => {
    let sum = 0;
    for (const [, x, y, way, to] of path.matchAll(/M(\S+) (\S+)([VH])([^MVH]+)/g))
      sum += Math.abs(Number(to) - Number(way === 'V' ? y : x));
    return sum;
  };
  const at = (value: number) => value;

  test('runs once round a single cell', () => {
    expect(length(outlinePath([0, 0, 0, 0, 1, 0, 0, 0, 0], 3, at, at))).toBe(4);
  });

  test('has as many unit edges as there are cells with a neighbour outside, counted one by one', () => {
    const region = Uint8Array.of(1, 1, 0, 1, 0, 1, 1, 1, 0, 1, 0, 0);
    const ys = 4;
    const isIn = (i: number, j: number) => i >= 0 && i < 3 && j >= 0 && j < ys && region[i * ys + j] === 1;
    let edges = 0;
    for (let i = 0; i < 3; ++i) {
      for (let j = 0; j < ys; ++j) {
        if (!isIn(i, j)) continue;
        for (const [a, b] of [
          [1, 0],
          [-1, 0],
          [0, 1],
          [0, -1],
        ] as const)
          if (!isIn(i + a, j + b)) ++edges;
      }
    }
    expect(length(outlinePath(region, ys, at, at))).toBe(edges);
  });

  test('is nothing where nothing is in', () => expect(outlinePath([0, 0, 0, 0], 2, at, at)).toBe(''));
});

describe('what each rule buys', () => {
  const sweep = (
    holdsMs: readonly number[],
    refused: readonly number[],
    through: readonly number[],
  ): GuardSweep => ({
    xs: Float64Array.of(100, 200),
    ys: Float64Array.from(holdsMs),
    sizes: { strays: 9, wanted: 9, spinningS: 10, stops: 9 },
    wrong: { strays: Int32Array.from(through), wanted: Int32Array.from(refused) },
    openShare: Float64Array.from(through, (k) => k / 10),
    timesMs: { waitMedianMs: Float64Array.from(refused, (k) => 100 * k) },
  });
  const plain = sweep([0, 100], [0, 1, 0, 2], [6, 2, 7, 0]);
  const looser = sweep([0], [1, 0], [4, 5]);

  test('a family’s front is the best of its own settings; the momentary check is a case of both others', () => {
    const fronts = familyFronts(plain, plain, [looser], 'presses');
    const shown = (points: readonly FrontPoint[]) => points.map(({ x, y }) => [x, y]);
    expect(shown(fronts.momentary)).toEqual([[0, 6]]);
    expect(shown(fronts.hold)).toEqual([
      [0, 6],
      [1, 2],
      [2, 0],
    ]);
    expect(shown(fronts.hysteresis)).toEqual([
      [0, 5],
      [1, 4],
    ]);
    expect(fronts.hold[2]).toMatchObject({ speedDps: 200, holdMs: 100, releaseRatio: 1 });
    expect(fronts.hysteresis[0]!.releaseRatio).toBeLessThan(1);
  });

  test('weighed by time it is waits in ms against open shares in percent', () => {
    const { hold } = familyFronts(plain, plain, [], 'time');
    expect(hold.map(({ x, y }) => [x, y])).toEqual([
      [0, 60],
      [100, 20],
      [200, 0],
    ]);
  });

  test('a staircase keeps its height until the next point, and goes on to the right', () => {
    const front = familyFronts(plain, plain, [], 'presses').hold;
    expect(
      staircase(
        front,
        (x) => 10 * x,
        (y) => 100 - 10 * y,
        50,
      ),
    ).toBe('M0.0 40.0H10.0V80.0H20.0V100.0H50.0');
    expect(
      staircase(
        [],
        (x) => x,
        (y) => y,
        50,
      ),
    ).toBe('');
  });
});
