import { describe, expect, test } from 'vitest';
import { findPlateau, riseWithin } from '../../../server/engine/sweep/plateau.ts';
import { fc } from '../properties.ts';

/** One row a value of y from the lowest on, one character a value of x: 'o' costs 0, 'x' costs 1, '-' is NaN. */
function costOf(rows: readonly string[]): Float64Array {
  const width = rows[0]!.length;
  const cost = new Float64Array(width * rows.length);
  rows.forEach((row, y) => {
    Array.from(row).forEach((c, x) => {
      cost[x * rows.length + y] = c === 'o' ? 0 : c === 'x' ? 1 : Number.NaN;
    });
  });
  return cost;
}

describe('findPlateau', () => {
  test('the centre of a block, in relative terms nearer to its lower end', () => {
    const xs = [100, 110, 120, 130, 140, 150, 160];
    const found = findPlateau(xs, [100], costOf(['xooooox']))!;
    // Room at 120: 20 down to 100, 40 up to 160, of 120; at 130: 30 down, 30 up, of 130. A single y of 100 has room 1.
    expect(found).toMatchObject({ x: 130, y: 100, bestCost: 0 });
    expect(found.room).toBeCloseTo(30 / 130, 12);
    expect(found.xMargin).toEqual({ low: 110, high: 150, reachesLowEnd: false, reachesHighEnd: false });
  });

  test('relative distance: of two equal blocks, the one at lower values has more room', () => {
    const found = findPlateau([10, 20, 30, 40, 50, 60, 70], [50], costOf(['xoxxxox']))!;
    expect(found.x).toBe(20);
    expect(found.room).toBeCloseTo(0.5, 12);
  });

  test('in two dimensions the larger of both changes counts', () => {
    const axis = [100, 110, 120, 130, 140];
    const found = findPlateau(axis, axis, costOf(['xxxxx', 'xooox', 'xooox', 'xooox', 'xxxxx']))!;
    expect([found.x, found.y]).toEqual([120, 120]);
    expect(found.room).toBeCloseTo(20 / 120, 12);
  });

  test('a notch pushes the suggestion away from it', () => {
    const axis = [100, 110, 120, 130, 140, 150, 160];
    const open = ['xxxxxxx', 'xooooox', 'xooooox', 'xooooox', 'xooooox', 'xooooox', 'xxxxxxx'];
    const notched = [...open.slice(0, 3), 'xoxooox', ...open.slice(4)];
    expect(findPlateau(axis, axis, costOf(open))).toMatchObject({ x: 130, y: 130 });
    expect(findPlateau(axis, axis, costOf(notched))!.x).toBeGreaterThan(130);
  });

  test('the end of the grid counts as worse one step on, and the margin says that it reached it', () => {
    const found = findPlateau([100, 110, 120, 130, 140], [50], costOf(['xoooo']))!;
    expect(found.x).toBe(120);
    expect(found.xMargin).toEqual({ low: 110, high: 140, reachesLowEnd: false, reachesHighEnd: true });
  });

  test('a hold of 0 has no lower end to fall off', () => {
    const found = findPlateau([100], [0, 50, 100, 150], costOf(['o', 'o', 'x', 'x']))!;
    expect(found.y).toBe(0);
    expect(found.yMargin).toMatchObject({ low: 0, high: 50, reachesLowEnd: true, reachesHighEnd: false });
  });

  test('of settings with equal room the lowest is taken, or the middle one of them where that is asked', () => {
    // Along x the room is 20 of 120 at most, whatever y is, but for the outer rows.
    const xs = [100, 110, 120, 130, 140];
    const ys = [10, 20, 30, 40, 50, 60, 70, 80];
    const cost = costOf(ys.map((_, i) => (i === 7 ? 'xxxxx' : 'xooox')));
    const [lowest, middle] = [findPlateau(xs, ys, cost)!, findPlateau(xs, ys, cost, 'middle')!];
    expect(lowest).toMatchObject({ x: 120, y: 10 });
    // At 70 the row that does worse is 10 of 70 away, less than 20 of 120; at 60 it is 20 of 60.
    expect(middle).toMatchObject({ x: 120, y: 30, room: lowest.room, region: lowest.region });
  });

  test('NaN is no candidate, and counts as worse', () => {
    expect(findPlateau([100, 110, 120], [50], costOf(['-o-']))).toMatchObject({ x: 110 });
    expect(findPlateau([100, 110], [50], costOf(['--']))).toBe(null);
  });

  test('the region holds what hangs together with the suggestion side by side, not corner to corner', () => {
    const found = findPlateau([100, 110, 120, 130, 140, 150], [50], costOf(['ooxooo']))!;
    expect(found.x).toBe(140);
    expect([...found.region]).toEqual([0, 0, 0, 1, 1, 1]);
    const axis = [100, 110, 120, 130];
    const rows = ['ooox', 'ooox', 'ooox', 'xxxo'];
    expect([...findPlateau(axis, axis, costOf(rows))!.region]).toEqual(
      [...costOf(rows)].map((cost, cell) => (cost === 0 && cell !== 15 ? 1 : 0)),
    );
  });

  test('no best setting has more room than the suggestion, by looking at every setting that does worse', () => {
    const steps = fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 2, maxLength: 6 });
    const axisOf = (widths: number[]) => widths.map((_, i) => widths.slice(0, i + 1).reduce((a, b) => a + b));
    fc.assert(
      fc.property(
        steps,
        steps,
        fc.array(fc.integer({ min: 0, max: 1 }), { minLength: 36, maxLength: 36 }),
        (a, b, bits) => {
          const [xs, ys] = [axisOf(a), axisOf(b)];
          const cost = bits.slice(0, xs.length * ys.length);
          const found = findPlateau(xs, ys, cost)!;
          const least = Math.min(...cost);
          const outer = (axis: number[]) => [
            Math.max(0, 2 * axis[0]! - axis[1]!),
            ...axis,
            2 * axis.at(-1)! - axis.at(-2)!,
          ];
          const roomAt = (x: number, y: number) => {
            let room = Infinity;
            outer(xs).forEach((wx, i) => {
              outer(ys).forEach((wy, j) => {
                const isInside = i >= 1 && j >= 1 && i <= xs.length && j <= ys.length;
                if (isInside && cost[(i - 1) * ys.length + j - 1] === least) return;
                const scale = (axis: number[], v: number) =>
                  Math.max(v, Math.min(...axis.slice(1).map((w, k) => w - axis[k]!)));
                room = Math.min(
                  room,
                  Math.max(Math.abs(wx - x) / scale(xs, x), Math.abs(wy - y) / scale(ys, y)),
                );
              });
            });
            return room;
          };
          expect(found.room).toBeCloseTo(roomAt(found.x, found.y), 12);
          xs.forEach((x, i) => {
            ys.forEach((y, j) => {
              if (cost[i * ys.length + j] === least)
                expect(roomAt(x, y)).toBeLessThanOrEqual(found.room + 1e-12);
            });
          });
        },
      ),
    );
  });

  test.each<[string, number[], number[], number[], RegExp]>([
    ['an axis without values', [], [1], [], /xs needs at least one/],
    ['an axis that falls', [2, 1], [1], [0, 0], /xs must rise/],
    ['an axis below 0', [-1, 1], [1], [0, 0], /below 0/],
    ['a grid of another size', [1, 2], [1], [0], /needs as many costs/],
  ])('%s is refused', (_name, xs, ys, cost, message) => {
    expect(() => findPlateau(xs, ys, cost)).toThrow(message);
  });
});

describe('riseWithin', () => {
  const axis = [100, 110, 120, 130, 140];
  const plateau = findPlateau(axis, axis, costOf(['xxxxx', 'xooox', 'xooox', 'xooox', 'xxxxx']))!;
  const counts = (changes: readonly (readonly [x: number, y: number, count: number])[]) => {
    const out = new Int32Array(25).fill(4);
    for (const [x, y, count] of changes) out[axis.indexOf(x) * 5 + axis.indexOf(y)] = count;
    return out;
  };

  test('the most that a count is above the suggestion’s along each margin, and nothing where it falls', () => {
    expect(riseWithin(plateau, 5, counts([]))).toEqual({ x: 0, y: 0 });
    expect(riseWithin(plateau, 5, counts([[110, 120, 6]]))).toEqual({ x: 2, y: 0 });
    expect(riseWithin(plateau, 5, counts([[120, 130, 5]]))).toEqual({ x: 0, y: 1 });
    expect(riseWithin(plateau, 5, counts([[130, 120, 3]]))).toEqual({ x: 0, y: 0 });
  });

  test('what lies beyond the margins, or in a corner, does not count', () => {
    const beyond = counts([
      [100, 120, 9],
      [140, 120, 9],
      [120, 100, 9],
      [120, 140, 9],
      [110, 110, 9],
    ]);
    expect(riseWithin(plateau, 5, beyond)).toEqual({ x: 0, y: 0 });
  });
});
