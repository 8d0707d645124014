import { describe, expect, test } from 'vitest';
import { scaleOf } from '../../web/charts/scale.ts';
import { arrowOf, cellPlaces, curvePlaces, pointPlaces } from '../../web/panels/plot/readout.ts';

/** A hundred pixels either way; 1 to 100 along x, its logarithm, and 0 to 10 upwards. */
const AREA = {
  x: scaleOf('log', [1, 100], 0, 100),
  y: scaleOf('linear', [0, 10], 100, 0),
  width: 100,
  height: 100,
};

describe('a curve is read at the place nearest in pixels', () => {
  const places = curvePlaces([1, 10, 100]);
  test.each([
    [-5, 0],
    [20, 0],
    [30, 1],
    [74, 1],
    [76, 2],
    [500, 2],
  ])('at %d px', (x, at) => expect(places.find(x, 50, AREA)).toBe(at));

  test('arrow keys begin in the middle and stop at the ends', () => {
    expect(places.step(null, 1, 0)).toBe(1);
    expect(places.step(1, 1, 0)).toBe(2);
    expect(places.step(2, 10, 0)).toBe(2);
    expect(places.step(1, -10, 0)).toBe(0);
  });

  test('of none nothing is read', () => {
    expect(curvePlaces([]).find(5, 5, AREA)).toBe(null);
    expect(curvePlaces([]).step(null, 1, 0)).toBe(null);
  });
});

describe('points are read within reach', () => {
  const places = pointPlaces(
    [
      [100, 5],
      [1, 5],
      [10, 0],
    ],
    8,
  );
  test.each([
    [3, 50, 1],
    [3, 59, null],
    [96, 47, 0],
    [51, 99, 2],
  ])('at %d, %d px', (x, y, at) => expect(places.find(x, y, AREA)).toBe(at));

  test('arrow keys take them from left to right, whatever their order', () => {
    expect(places.step(null, 1, 0)).toBe(1);
    expect(places.step(1, 1, 0)).toBe(2);
    expect(places.step(2, 1, 0)).toBe(0);
    expect(places.step(0, 1, 0)).toBe(0);
    expect(pointPlaces([], 8).step(null, 1, 0)).toBe(null);
  });
});

describe('the cells of a map', () => {
  const map = { ...AREA, x: scaleOf('linear', [0.5, 4.5], 0, 100) };
  const places = cellPlaces([1, 2, 3, 4], [0, 5, 10]);
  test.each([
    [1, 99, 0],
    [30, 50, 4],
    [30, 1, 5],
    [200, -50, 11],
  ])('at %d, %d px', (x, y, cell) => expect(places.find(x, y, map)).toBe(cell));

  test('arrow keys go from cell to cell and not beyond the border', () => {
    expect(places.step(4, 1, 0)).toBe(7);
    expect(places.step(4, 0, 1)).toBe(5);
    expect(places.step(5, 0, 1)).toBe(5);
    expect(places.step(1, -1, 0)).toBe(1);
    expect(places.ringAt!(7)).toEqual([3, 5]);
  });
});

test('Shift goes ten times as far', () => {
  expect(arrowOf({ key: 'ArrowLeft', shiftKey: false })).toEqual([-1, 0]);
  expect(arrowOf({ key: 'ArrowUp', shiftKey: true })).toEqual([0, 10]);
  expect(arrowOf({ key: 'a', shiftKey: false })).toBe(null);
});
