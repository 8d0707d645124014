/**
 * What lies past an axis' ends. 'unknown': the map just ends there, and nothing tells what comes. 'limit': the setting
 * itself goes no further, and its last value counts as the last good one. Below 0 there is nothing, whatever is said here.
 */
export interface AxisEnds {
  readonly x: 'unknown' | 'limit';
  readonly y: 'unknown' | 'limit';
}

export interface Cell {
  readonly xIndex: number;
  readonly yIndex: number;
}

/** First and last index of settings that are all among the best. */
export interface Run {
  readonly low: number;
  readonly high: number;
}

interface Place extends Cell {
  /** Its values; past an end of the grid, one step on. */
  readonly x: number;
  readonly y: number;
}

/** Which cells of a grid have the least cost, and how far from each it is to one that has not. */
export class PlateauGrid {
  readonly bestCost: number;
  private readonly xs: Float64Array;
  private readonly ys: Float64Array;
  private readonly cost: ArrayLike<number>;
  private readonly ends: AxisEnds;
  private readonly leastX: number;
  private readonly leastY: number;
  /** Places known to do worse beside one that does not: the nearest worse place of any best one is among them. */
  private readonly worse: readonly Place[];
  /** Those past the ends of the grid, of which nothing is known. */
  private readonly outside: readonly Place[];

  constructor(xs: Float64Array, ys: Float64Array, cost: ArrayLike<number>, ends: AxisEnds) {
    for (const least of [xs[0]!, ys[0]!])
      if (least < 0) throw new RangeError(`an axis starts below 0, at ${least}`);
    if (cost.length !== xs.length * ys.length) {
      throw new RangeError(`a grid of ${xs.length} by ${ys.length} needs as many costs, got ${cost.length}`);
    }
    this.xs = xs;
    this.ys = ys;
    this.cost = cost;
    this.ends = ends;
    [this.leastX, this.leastY] = [leastStep(xs), leastStep(ys)];
    let best = Infinity;
    for (let i = 0; i < cost.length; ++i) if (cost[i]! < best) best = cost[i]!;
    this.bestCost = best;
    const { worse, outside } = this.frontier();
    this.worse = worse;
    this.outside = outside;
  }

  isBest(xIndex: number, yIndex: number): boolean {
    if (!this.isInside(xIndex, yIndex)) return false;
    return this.cost[xIndex * this.ys.length + yIndex] === this.bestCost;
  }

  /** All best cells, the lowest y first, then the lowest x. */
  bestCells(): Cell[] {
    const cells: Cell[] = [];
    for (let yIndex = 0; yIndex < this.ys.length; ++yIndex)
      for (let xIndex = 0; xIndex < this.xs.length; ++xIndex)
        if (this.isBest(xIndex, yIndex)) cells.push({ xIndex, yIndex });
    return cells;
  }

  /** How far it is to the nearest place that is known to do worse. */
  roomAt(xIndex: number, yIndex: number): number {
    return this.distance(xIndex, yIndex, this.worse);
  }

  /** The same with the ends of the grid counted as worse one step on. */
  roomInGrid(xIndex: number, yIndex: number): number {
    return Math.min(this.roomAt(xIndex, yIndex), this.distance(xIndex, yIndex, this.outside));
  }

  /** The same along x alone. */
  roomAlongX(xIndex: number, yIndex: number): number {
    const { low, high } = this.runAlong('x', xIndex, yIndex);
    const x = this.xs[xIndex]!;
    const below = valueAt(this.xs, low - 1);
    const above = valueAt(this.xs, high + 1) - x;
    return (below < 0 ? above : Math.min(x - below, above)) / Math.max(x, this.leastX);
  }

  /**
   * By how much of their values both settings can change at once, and all that was tried within is as good: up to the last
   * good value on the way to each that does worse, where `roomAt` goes up to the first bad one.
   */
  triedRoomAt(xIndex: number, yIndex: number): number {
    const x = this.xs[xIndex]!;
    const y = this.ys[yIndex]!;
    const [xScale, yScale] = [Math.max(x, this.leastX), Math.max(y, this.leastY)];
    let room = Infinity;
    for (const place of this.worse) {
      const lastX = this.xs[place.xIndex - Math.sign(place.xIndex - xIndex)]!;
      const lastY = this.ys[place.yIndex - Math.sign(place.yIndex - yIndex)]!;
      const dx = place.xIndex === xIndex ? 0 : Math.abs(lastX - x) / xScale;
      const dy = place.yIndex === yIndex ? 0 : Math.abs(lastY - y) / yScale;
      room = Math.min(room, Math.max(dx, dy));
    }
    return room;
  }

  /** Which ends of an axis are the map's alone; one at 0 is none. */
  open(axis: 'x' | 'y'): { readonly low: boolean; readonly high: boolean; readonly last: number } {
    const values = axis === 'x' ? this.xs : this.ys;
    const isUnknown = this.ends[axis] === 'unknown';
    return { low: isUnknown && values[0]! > 0, high: isUnknown, last: values.length - 1 };
  }

  runAlong(axis: 'x' | 'y', xIndex: number, yIndex: number): Run {
    const [at, isBest] =
      axis === 'x'
        ? [xIndex, (i: number) => this.isBest(i, yIndex)]
        : [yIndex, (i: number) => this.isBest(xIndex, i)];
    let [low, high] = [at, at];
    while (isBest(low - 1)) --low;
    while (isBest(high + 1)) ++high;
    return { low, high };
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

  private isInside(xIndex: number, yIndex: number): boolean {
    return xIndex >= 0 && yIndex >= 0 && xIndex < this.xs.length && yIndex < this.ys.length;
  }

  /** Looks around the best cells alone: they are few. */
  private frontier(): { worse: Place[]; outside: Place[] } {
    const [worse, outside]: [Place[], Place[]] = [[], []];
    const rows = this.ys.length + 2;
    const seen = new Uint8Array((this.xs.length + 2) * rows);
    const look = (xIndex: number, yIndex: number): void => {
      const at = (xIndex + 1) * rows + yIndex + 1;
      if (seen[at] === 1 || this.isBest(xIndex, yIndex)) return;
      seen[at] = 1;
      const x = valueAt(this.xs, xIndex);
      const y = valueAt(this.ys, yIndex);
      if (x >= 0 && y >= 0) (this.isKnown(xIndex, yIndex) ? worse : outside).push({ xIndex, yIndex, x, y });
    };
    for (let cell = 0; cell < this.cost.length; ++cell) {
      if (this.cost[cell] !== this.bestCost) continue;
      const xIndex = Math.floor(cell / this.ys.length);
      const yIndex = cell % this.ys.length;
      for (let dx = -1; dx <= 1; ++dx) for (let dy = -1; dy <= 1; ++dy) look(xIndex + dx, yIndex + dy);
    }
    return { worse, outside };
  }

  /** Whether anything is known of a place: of those past the grid only what lies past a setting's own limit. */
  private isKnown(xIndex: number, yIndex: number): boolean {
    const isPast = (index: number, axis: Float64Array) => index < 0 || index >= axis.length;
    if (isPast(xIndex, this.xs) && this.ends.x === 'unknown') return false;
    return !(isPast(yIndex, this.ys) && this.ends.y === 'unknown');
  }

  private distance(xIndex: number, yIndex: number, places: readonly Place[]): number {
    const x = this.xs[xIndex]!;
    const y = this.ys[yIndex]!;
    const [xScale, yScale] = [Math.max(x, this.leastX), Math.max(y, this.leastY)];
    let room = Infinity;
    for (const place of places) {
      const distance = Math.max(Math.abs(place.x - x) / xScale, Math.abs(place.y - y) / yScale);
      if (distance < room) room = distance;
    }
    return room;
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
