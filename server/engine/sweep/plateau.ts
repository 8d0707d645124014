import { checkedAxis } from './axis.ts';
import { type AxisEnds, type Cell, PlateauGrid, type Run } from './plateauGrid.ts';

export type { AxisEnds };

/** Along one axis, with the other at the suggestion: how far the outcome stays as good. */
export interface Margin {
  readonly low: number;
  readonly high: number;
  /** The range goes up to the end of the grid: beyond, nothing is known. */
  readonly reachesLowEnd: boolean;
  readonly reachesHighEnd: boolean;
}

/** Along each axis, with the other at the suggestion. */
export interface Rise {
  readonly x: number;
  readonly y: number;
}

/** The settings with the best outcome, and the one to choose among them. */
export interface Plateau {
  readonly bestCost: number;
  /** 1 for every cell as good as the suggestion that hangs together with it, side by side; row-major, as the costs. */
  readonly region: Uint8Array;
  readonly xIndex: number;
  readonly yIndex: number;
  readonly x: number;
  readonly y: number;
  /** The part of its value by which a setting changes up to the nearest place known to do worse; Infinity where nothing does. */
  readonly room: number;
  /** The part by which both can change at once, with all that was tried within as good; below `room`, as nobody has tried between. */
  readonly triedRoom: number;
  readonly xMargin: Margin;
  readonly yMargin: Margin;
}

/**
 * So much room on all sides is enough: more of it is no reason to wait longer. As a part of each setting's value. On
 * simulated takes left out it did as well as the most central setting (no press wrong in 640, at most 6 reversals of 1588
 * open instead of 2) with less than half the hold, 162 ms instead of 350 to 377; at 10 % 3 strays came through.
 */
export const ENOUGH_ROOM = 0.2;

const UNKNOWN_ENDS: AxisEnds = { x: 'unknown', y: 'unknown' };

/**
 * The setting to choose among the best of a grid: with enough room to what is known to do worse.
 *
 * Room is relative, and the larger one of the two axes counts: within `room` of a setting, in both axes at once, nothing
 * is known to do worse. Where an axis holds 0, its least step stands in for a value below that step. `ENOUGH_ROOM` is
 * enough, or the most that there is where that is less. Of the settings with enough, the one with the lowest y is taken;
 * of those the most central one along x, the ends of the grid counted as worse one step on. But where it is an end of the
 * map that makes the centre, nothing speaks for it: then the one nearest to the known side that still has enough.
 * @param better  'middle' where a low y is no better in itself: then of all settings with enough room the most central
 * one along both axes, and of those with equal room at that x the middle one.
 * @param cost  row-major, y fastest, as long as both axes give cells; lower is better. NaN is no candidate and is worse.
 * @returns null where every cost is NaN.
 * @throws RangeError  on axes that are empty, negative or do not rise, and on a grid of another size.
 */
export function findPlateau(
  xs: readonly number[],
  ys: readonly number[],
  cost: ArrayLike<number>,
  better: 'lowest' | 'middle' = 'lowest',
  ends: AxisEnds = UNKNOWN_ENDS,
): Plateau | null {
  const grid = new PlateauGrid(checkedAxis('xs', xs), checkedAxis('ys', ys), cost, ends);
  if (grid.bestCost === Infinity) return null;
  const { xIndex, yIndex } = choose(grid, better);
  return {
    xIndex,
    yIndex,
    room: grid.roomAt(xIndex, yIndex),
    triedRoom: grid.triedRoomAt(xIndex, yIndex),
    bestCost: grid.bestCost,
    region: grid.regionAround(xIndex, yIndex),
    x: xs[xIndex]!,
    y: ys[yIndex]!,
    xMargin: marginOf(xs, grid.runAlong('x', xIndex, yIndex)),
    yMargin: marginOf(ys, grid.runAlong('y', xIndex, yIndex)),
  };
}

/**
 * How far a cell is from anything known to do worse, as `room` tells it of the suggestion; 0 for one that does worse
 * itself. @throws RangeError  as `findPlateau` does.
 */
export function roomAt(
  xs: readonly number[],
  ys: readonly number[],
  cost: ArrayLike<number>,
  cell: number,
): number {
  const grid = new PlateauGrid(checkedAxis('xs', xs), checkedAxis('ys', ys), cost, UNKNOWN_ENDS);
  const [xIndex, yIndex] = [Math.floor(cell / ys.length), cell % ys.length];
  return grid.isBest(xIndex, yIndex) ? grid.roomAt(xIndex, yIndex) : 0;
}

function choose(grid: PlateauGrid, better: 'lowest' | 'middle'): Cell {
  const best = grid.bestCells();
  const rooms = best.map(({ xIndex, yIndex }) => grid.roomAt(xIndex, yIndex));
  const most = rooms.reduce((room, its) => Math.max(room, its), 0);
  const enough = Math.min(ENOUGH_ROOM, most) - SAME_ROOM;
  const roomy = best.filter((_, i) => rooms[i]! >= enough);
  // Cells come with the lowest y first.
  const among = better === 'middle' ? roomy : roomy.filter(({ yIndex }) => yIndex === roomy[0]!.yIndex);
  const central = mostCentral(among, ({ xIndex, yIndex }) =>
    better === 'middle' ? grid.roomInGrid(xIndex, yIndex) : grid.roomAlongX(xIndex, yIndex),
  );
  const hasEnough = (xIndex: number, yIndex: number) => grid.roomAt(xIndex, yIndex) >= enough;
  const xIndex = awayFromEnd(
    grid.runAlong('x', central.xIndex, central.yIndex),
    central.xIndex,
    grid.open('x'),
    (x) => hasEnough(x, central.yIndex),
  );
  if (better === 'lowest') return { xIndex, yIndex: central.yIndex };
  const middle = middleOf(grid, xIndex, central.yIndex);
  const yIndex = awayFromEnd(grid.runAlong('y', xIndex, middle), middle, grid.open('y'), (y) =>
    hasEnough(xIndex, y),
  );
  return { xIndex, yIndex };
}

function mostCentral(cells: readonly Cell[], roomOf: (cell: Cell) => number): Cell {
  let [best, room] = [cells[0]!, -1];
  for (const cell of cells) {
    const its = roomOf(cell);
    if (its > room) [best, room] = [cell, its];
  }
  return best;
}

/** From the centre of a run that goes to an open end of the map: towards the known side, as far as there is enough room. */
function awayFromEnd(
  { low, high }: Run,
  at: number,
  open: { readonly low: boolean; readonly high: boolean; readonly last: number },
  hasEnough: (index: number) => boolean,
): number {
  const [isOpenLow, isOpenHigh] = [open.low && low === 0, open.high && high === open.last];
  if (isOpenLow === isOpenHigh) return at;
  let found = at;
  for (let i = at; isOpenHigh ? i >= low : i <= high; i += isOpenHigh ? -1 : 1) if (hasEnough(i)) found = i;
  return found;
}

/** The middle of the run from y upwards that has as much room as y, the lower one of two. */
function middleOf(grid: PlateauGrid, xIndex: number, yIndex: number): number {
  const room = grid.roomInGrid(xIndex, yIndex);
  let last = yIndex;
  while (grid.isBest(xIndex, last + 1) && grid.roomInGrid(xIndex, last + 1) >= room - SAME_ROOM) ++last;
  return Math.floor((yIndex + last) / 2);
}

/**
 * By how much a count rises, at most, from the suggestion to anywhere within each margin: a cost that goes by steps calls
 * settings equal whose counts are not quite.
 * @param counts  row-major, as the costs.
 */
export function riseWithin({ region, xIndex, yIndex }: Plateau, ys: number, counts: ArrayLike<number>): Rise {
  const own = xIndex * ys + yIndex;
  const along = (by: number, end: number): number => {
    let most = 0;
    for (let i = own + by; i !== end && region[i] === 1; i += by)
      most = Math.max(most, counts[i]! - counts[own]!);
    return most;
  };
  return {
    x: Math.max(along(-ys, yIndex - ys), along(ys, region.length + yIndex)),
    y: Math.max(along(-1, own - yIndex - 1), along(1, own - yIndex + ys)),
  };
}

/** Rooms that differ by less are one that was rounded. */
const SAME_ROOM = 1e-9;

function marginOf(values: readonly number[], { low, high }: Run): Margin {
  return {
    low: values[low]!,
    high: values[high]!,
    reachesLowEnd: low === 0,
    reachesHighEnd: high === values.length - 1,
  };
}
