import { checkedAxis } from './axis.ts';

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

/** The settings with the best outcome, and the one that has most room to all sides. */
export interface Plateau {
  readonly bestCost: number;
  /** 1 for every cell as good as the suggestion that hangs together with it, side by side; row-major, as the costs. */
  readonly region: Uint8Array;
  readonly xIndex: number;
  readonly yIndex: number;
  readonly x: number;
  readonly y: number;
  /** The suggestion stays as good while neither setting changes by this part of its value; Infinity where all are as good. */
  readonly room: number;
  readonly xMargin: Margin;
  readonly yMargin: Margin;
}

/**
 * The most central of the best settings of a grid: the one whose nearest setting that does worse lies farthest away.
 *
 * Distance is relative, and the larger one of the two axes counts: within `room` of the suggestion, in both settings at
 * once, nothing does worse. Where an axis holds 0, its least step stands in for a value below that step. Beyond its ends
 * the grid counts as worse one step on, for nothing is known there; but not below 0. Of settings with equal room, the one
 * with the lower y, then the lower x.
 * @param ties  'middle' where a low y is no better in itself: of settings with equal room at that x, the middle one.
 * @param cost  row-major, y fastest, as long as both axes give cells; lower is better. NaN is no candidate and is worse.
 * @returns null where every cost is NaN.
 * @throws RangeError  on axes that are empty, negative or do not rise, and on a grid of another size.
 */
export function findPlateau(
  xs: readonly number[],
  ys: readonly number[],
  cost: ArrayLike<number>,
  ties: 'lowest' | 'middle' = 'lowest',
): Plateau | null {
  const grid = new Grid(checkedAxis('xs', xs), checkedAxis('ys', ys), cost);
  if (grid.bestCost === Infinity) return null;
  const worse = grid.frontier();
  let best = { room: -1, xIndex: 0, yIndex: 0 };
  for (let yIndex = 0; yIndex < ys.length; ++yIndex) {
    for (let xIndex = 0; xIndex < xs.length; ++xIndex) {
      if (!grid.isBest(xIndex, yIndex)) continue;
      const room = grid.roomAt(xIndex, yIndex, worse);
      if (room > best.room) best = { room, xIndex, yIndex };
    }
  }
  const { xIndex, room } = best;
  const isAsGood = (y: number) => grid.isBest(xIndex, y) && grid.roomAt(xIndex, y, worse) >= room - SAME_ROOM;
  const yIndex = ties === 'middle' ? middleOf(best.yIndex, isAsGood) : best.yIndex;
  return {
    xIndex,
    yIndex,
    room,
    bestCost: grid.bestCost,
    region: grid.regionAround(xIndex, yIndex),
    x: xs[xIndex]!,
    y: ys[yIndex]!,
    xMargin: marginOf(xs, xIndex, (i) => grid.isBest(i, yIndex)),
    yMargin: marginOf(ys, yIndex, (i) => grid.isBest(xIndex, i)),
  };
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

/** The middle of the run of indices from `first` on, the lower one of two. */
function middleOf(first: number, isIn: (index: number) => boolean): number {
  let last = first;
  while (isIn(last + 1)) ++last;
  return Math.floor((first + last) / 2);
}

interface Place {
  readonly x: number;
  readonly y: number;
}

class Grid {
  readonly bestCost: number;
  private readonly xs: Float64Array;
  private readonly ys: Float64Array;
  private readonly cost: ArrayLike<number>;

  constructor(xs: Float64Array, ys: Float64Array, cost: ArrayLike<number>) {
    for (const least of [xs[0]!, ys[0]!])
      if (least < 0) throw new RangeError(`an axis starts below 0, at ${least}`);
    if (cost.length !== xs.length * ys.length) {
      throw new RangeError(`a grid of ${xs.length} by ${ys.length} needs as many costs, got ${cost.length}`);
    }
    this.xs = xs;
    this.ys = ys;
    this.cost = cost;
    let best = Infinity;
    for (let i = 0; i < cost.length; ++i) if (cost[i]! < best) best = cost[i]!;
    this.bestCost = best;
  }

  isBest(xIndex: number, yIndex: number): boolean {
    if (xIndex < 0 || yIndex < 0 || xIndex >= this.xs.length || yIndex >= this.ys.length) return false;
    return this.cost[xIndex * this.ys.length + yIndex] === this.bestCost;
  }

  /** Places that do worse beside one that does not: the nearest worse place of any best one is among them. */
  frontier(): Place[] {
    const places: Place[] = [];
    for (let xIndex = -1; xIndex <= this.xs.length; ++xIndex) {
      for (let yIndex = -1; yIndex <= this.ys.length; ++yIndex) {
        if (this.isBest(xIndex, yIndex) || !this.hasBestNeighbour(xIndex, yIndex)) continue;
        const x = valueAt(this.xs, xIndex);
        const y = valueAt(this.ys, yIndex);
        if (x >= 0 && y >= 0) places.push({ x, y });
      }
    }
    return places;
  }

  roomAt(xIndex: number, yIndex: number, worse: readonly Place[]): number {
    const x = this.xs[xIndex]!;
    const y = this.ys[yIndex]!;
    const [xScale, yScale] = [Math.max(x, leastStep(this.xs)), Math.max(y, leastStep(this.ys))];
    let room = Infinity;
    for (const place of worse) {
      const distance = Math.max(Math.abs(place.x - x) / xScale, Math.abs(place.y - y) / yScale);
      if (distance < room) room = distance;
    }
    return room;
  }

  regionAround(xIndex: number, yIndex: number): Uint8Array {
    const region = new Uint8Array(this.cost.length);
    const open = [[xIndex, yIndex] as const];
    while (open.length > 0) {
      const [x, y] = open.pop()!;
      const cell = x * this.ys.length + y;
      if (!this.isBest(x, y) || region[cell] === 1) continue;
      region[cell] = 1;
      open.push([x - 1, y], [x + 1, y], [x, y - 1], [x, y + 1]);
    }
    return region;
  }

  private hasBestNeighbour(xIndex: number, yIndex: number): boolean {
    for (let dx = -1; dx <= 1; ++dx) {
      for (let dy = -1; dy <= 1; ++dy) if (this.isBest(xIndex + dx, yIndex + dy)) return true;
    }
    return false;
  }
}

/** The axis goes on by one more step past either end; below 0 there is nothing (-1). */
function valueAt(axis: Float64Array, index: number): number {
  if (index >= 0 && index < axis.length) return axis[index]!;
  const end = index < 0 ? 0 : axis.length - 1;
  const inner = index < 0 ? 1 : axis.length - 2;
  const step = axis.length > 1 ? Math.abs(axis[end]! - axis[inner]!) : axis[end]!;
  if (index >= axis.length) return axis[end]! + step;
  return axis[end] === 0 ? -1 : Math.max(0, axis[end]! - step);
}

function leastStep(axis: Float64Array): number {
  let least = axis.length > 1 ? Infinity : 1;
  for (let i = 1; i < axis.length; ++i) least = Math.min(least, axis[i]! - axis[i - 1]!);
  return least;
}

function marginOf(values: readonly number[], at: number, isBest: (index: number) => boolean): Margin {
  let low = at;
  while (isBest(low - 1)) --low;
  let high = at;
  while (isBest(high + 1)) ++high;
  return {
    low: values[low]!,
    high: values[high]!,
    reachesLowEnd: low === 0,
    reachesHighEnd: high === values.length - 1,
  };
}
