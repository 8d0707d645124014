import { describe, expect, test } from 'vitest';
import { findPlateau, riseWithin, roomAt } from '../../../server/engine/sweep/plateau.ts';
import { fc } from '../properties.ts';

const ENOUGH_ROOM = 0.2;

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

/** The rule as it is said, for axes above 0 with unknown ends: every place looked at from every cell. */
function naiveChoice(xs: number[], ys: number[], cost: number[]): { x: number; y: number; room: number } {
  const least = Math.min(...cost);
  const around = (axis: number[]) => [
    Math.max(0, 2 * axis[0]! - axis[1]!),
    ...axis,
    2 * axis.at(-1)! - axis.at(-2)!,
  ];
  const stepOf = (axis: number[]) => Math.min(...axis.slice(1).map((value, i) => value - axis[i]!));
  const roomOf = (x: number, y: number) => {
    let room = Infinity;
    around(xs).forEach((px, i) => {
      around(ys).forEach((py, j) => {
        const isInside = i >= 1 && j >= 1 && i <= xs.length && j <= ys.length;
        if (!isInside || cost[(i - 1) * ys.length + j - 1] === least) return;
        const [dx, dy] = [
          Math.abs(px - x) / Math.max(x, stepOf(xs)),
          Math.abs(py - y) / Math.max(y, stepOf(ys)),
        ];
        room = Math.min(room, Math.max(dx, dy));
      });
    });
    return room;
  };
  const isBest = (i: number, j: number) => i >= 0 && i < xs.length && cost[i * ys.length + j] === least;
  const best = xs.flatMap((x, i) =>
    ys.flatMap((y, j) => (isBest(i, j) ? [{ i, j, x, y, room: roomOf(x, y) }] : [])),
  );
  const enough = Math.min(ENOUGH_ROOM, Math.max(...best.map(({ room }) => room))) - 1e-9;
  const roomy = best.filter(({ room }) => room >= enough);
  const lowest = Math.min(...roomy.map(({ y }) => y));
  const row = roomy.filter(({ y }) => y === lowest);
  const runOf = ({ i, j }: { i: number; j: number }) => {
    let [low, high] = [i, i];
    while (isBest(low - 1, j)) --low;
    while (isBest(high + 1, j)) ++high;
    return { low, high };
  };
  const alongX = (cell: { i: number; j: number; x: number }) => {
    const { low, high } = runOf(cell);
    const [below, above] = [around(xs)[low]!, around(xs)[high + 2]!];
    return Math.min(cell.x - below, above - cell.x) / Math.max(cell.x, stepOf(xs));
  };
  const most = Math.max(...row.map(alongX));
  const central = row.find((cell) => alongX(cell) === most)!;
  const { low, high } = runOf(central);
  const run = row.filter(({ i }) => i >= low && i <= high);
  if ((low === 0) === (high === xs.length - 1)) return central;
  return low === 0 ? run.at(-1)! : run[0]!;
}

/** Whether all cells are best that hold between them what lies within a share of a setting's values. */
function isGoodWithin(
  xs: number[],
  ys: number[],
  cost: number[],
  { x, y }: { readonly x: number; readonly y: number },
  share: number,
): boolean {
  const indices = (axis: number[], own: number) => {
    const step = Math.min(...axis.slice(1).map((value, i) => value - axis[i]!));
    const reach = share * Math.max(own, step);
    const from = axis.findLastIndex((value) => value <= own - reach);
    const to = axis.findIndex((value) => value >= own + reach);
    return axis.flatMap((_, i) => (i >= from && (to < 0 || i <= to) ? [i] : []));
  };
  if (share < 0) return true;
  return indices(xs, x).every((i) =>
    indices(ys, y).every((j) => cost[i * ys.length + j] === Math.min(...cost)),
  );
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

  test('an end that only the map makes is no side to keep away from, and the margin says that it was reached', () => {
    const found = findPlateau([100, 110, 120, 130, 140], [50], costOf(['xoooo']))!;
    // 30 of 130 is room enough from the 100 that does worse; halfway to the end, at 120, it is 20 of 120.
    expect(found.x).toBe(130);
    expect(found.xMargin).toEqual({ low: 110, high: 140, reachesLowEnd: false, reachesHighEnd: true });
    const wide = Array.from({ length: 20 }, (_, i) => 100 + 10 * i);
    const [open, closed] = [
      ['x', ...new Array(19).fill('o')],
      ['x', ...new Array(18).fill('o'), 'x'],
    ];
    expect(findPlateau(wide, [50], costOf([open.join('')]))!.x).toBe(130);
    // With a side that does worse at 290 it is the centre of what lies between.
    expect(findPlateau(wide, [50], costOf([closed.join('')]))!.x).toBe(190);
    // Where it is the low end that is open, from the other side.
    expect(findPlateau(wide, [50], costOf([[...open].reverse().join('')]))!.x).toBe(240);
  });

  test('an end that is the setting’s own limit does count as worse one step on', () => {
    const axis = [100, 110, 120, 130, 140];
    const found = findPlateau(axis, [50], costOf(['xoooo']), 'lowest', { x: 'limit', y: 'unknown' })!;
    expect(found.x).toBe(120);
  });

  test('of equal settings the lowest y with enough room to what does worse, not the one with most', () => {
    // Along x 40 of 140 and 150: more than enough. Along y nothing does worse but 100 and below, and 500.
    const xs = [100, 110, 120, 130, 140, 150, 160, 170, 180, 190];
    const ys = Array.from({ length: 41 }, (_, i) => 100 + 10 * i);
    const cost = costOf(ys.map((y) => (y === 100 || y === 500 ? 'xxxxxxxxxx' : 'xoooooooox')));
    const found = findPlateau(xs, ys, cost)!;
    // 30 of 130 lies above a fifth, 20 of 120 does not.
    expect(found.y).toBe(130);
    expect(found.room).toBeCloseTo(30 / 130, 12);
    expect(findPlateau(xs, ys, cost, 'middle')!.y).toBeGreaterThan(180);
  });

  test('the room of any setting is told as that of the suggestion is, and is 0 where it does worse', () => {
    const ys = [100, 110, 120, 130, 140];
    const cost = costOf(['x', 'o', 'o', 'o', 'x']);
    const rooms = ys.map((_, cell) => roomAt([50], ys, cost, cell));
    expect(rooms).toEqual([0, 10 / 110, 20 / 120, 10 / 130, 0]);
    expect(findPlateau([50], ys, cost)!.room).toBe(rooms[2]);
  });

  test('where no setting has enough room, the one with most', () => {
    const ys = [100, 110, 120, 130, 140];
    const found = findPlateau([50], ys, costOf(['x', 'o', 'o', 'o', 'x']))!;
    expect(found.y).toBe(120);
    expect(found.room).toBeCloseTo(20 / 120, 12);
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
    const ends = { x: 'unknown', y: 'limit' } as const;
    const [lowest, middle] = [findPlateau(xs, ys, cost)!, findPlateau(xs, ys, cost, 'middle', ends)!];
    expect(lowest).toMatchObject({ x: 120, y: 10 });
    // At 70 the row that does worse is 10 of 70 away, less than 20 of 120; at 60 it is 20 of 60.
    expect(middle).toMatchObject({ x: 120, y: 30, room: lowest.room, region: lowest.region });
  });

  test('NaN is no candidate, and counts as worse', () => {
    expect(findPlateau([100, 110, 120], [50], costOf(['-o-']))).toMatchObject({ x: 110 });
    expect(findPlateau([100, 110], [50], costOf(['--']))).toBe(null);
  });

  test('the region holds what hangs together with the suggestion side by side, not corner to corner', () => {
    const found = findPlateau([100, 110, 120, 130, 140, 150, 160], [50], costOf(['oxxooox']))!;
    expect(found.x).toBe(140);
    expect([...found.region]).toEqual([0, 0, 0, 1, 1, 1, 0]);
    const axis = [100, 110, 120, 130];
    const rows = ['ooox', 'ooox', 'ooox', 'xxxo'];
    expect([...findPlateau(axis, axis, costOf(rows))!.region]).toEqual(
      [...costOf(rows)].map((cost, cell) => (cost === 0 && cell !== 15 ? 1 : 0)),
    );
  });

  test('the rule, by looking at every place inside and around the grid', () => {
    const steps = fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 2, maxLength: 6 });
    const axisOf = (widths: number[]) => widths.map((_, i) => widths.slice(0, i + 1).reduce((a, b) => a + b));
    fc.assert(
      fc.property(
        steps,
        steps,
        fc.array(fc.integer({ min: 0, max: 2 }), { minLength: 36, maxLength: 36 }),
        (a, b, bits) => {
          const [xs, ys] = [axisOf(a), axisOf(b)];
          const cost = bits.slice(0, xs.length * ys.length).map((bit) => Math.min(bit, 1));
          const found = findPlateau(xs, ys, cost)!;
          const expected = naiveChoice(xs, ys, cost);
          expect(found).toMatchObject({ x: expected.x, y: expected.y });
          if (expected.room === Infinity) expect(found.room).toBe(Infinity);
          else expect(found.room).toBeCloseTo(expected.room, 12);
          const isGood = (share: number) => isGoodWithin(xs, ys, cost, found, share);
          const { triedRoom } = found;
          expect(isGood(Math.min(triedRoom - 1e-9, 1e3))).toBe(true);
          if (triedRoom < Infinity) expect(isGood(triedRoom + 1e-9)).toBe(false);
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
