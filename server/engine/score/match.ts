import type { MatchWindow } from './matchWindow.ts';
import { NestedMatcher } from './nestedMatch.ts';

/** A detection that belongs to a reference event, both by their place in the arrays given. */
export interface Pair {
  readonly ref: number;
  readonly det: number;
}

/**
 * One-to-one pairs of events and of the detections inside their windows (an end is inside), in the order of the events: as
 * many as can be, and of all ways to have that many one with the least total distance. Windows may come in any order, one
 * inside another too.
 * @param detUs  in time order.
 * @throws RangeError  on windows whose ends are no numbers, or detections out of order.
 */
export function matchWindows(windows: readonly MatchWindow[], detUs: ArrayLike<number>): Pair[] {
  const detOfRef = new WindowMatcher(windows).match(Float64Array.from(detUs));
  const pairs: Pair[] = [];
  detOfRef.forEach((det, ref) => {
    if (det >= 0) pairs.push({ ref, det });
  });
  return pairs;
}

const SKIP_REF = 1;
const SKIP_DET = 2;
const PAIR = 3;

/**
 * Matches one list of events with many lists of detections, in memory that is kept. Where windows and moments rise, or
 * stay, from one to the next, pairs in time order lose nothing against pairs in any order: dynamic programming over events
 * (rows) and numbers of detections used up (columns). A row holds only the columns from `first` to `last` that its
 * window spans: before them nothing changes, after them its last value stands. So the work is that of the pairs that
 * are possible, not events times detections. Other windows go to `NestedMatcher`, which is slower and minds no order.
 */
export class WindowMatcher {
  private readonly windows: readonly MatchWindow[];
  private readonly nested: NestedMatcher | null;
  private readonly first: Int32Array;
  private readonly last: Int32Array;
  private readonly offset: Int32Array;
  private readonly detOfRef: Int32Array;
  private count = new Int32Array(0);
  private distanceUs = new Float64Array(0);
  private move = new Uint8Array(0);

  /** @throws RangeError  on windows whose ends are no numbers. */
  constructor(windows: readonly MatchWindow[]) {
    checkWindows(windows);
    this.windows = windows;
    this.nested = doRise(windows) ? null : new NestedMatcher(windows);
    this.first = new Int32Array(windows.length);
    this.last = new Int32Array(windows.length);
    this.offset = new Int32Array(windows.length);
    this.detOfRef = new Int32Array(windows.length);
  }

  /**
   * For each event the place of its detection, or -1. The array is overwritten by the next call.
   * @throws RangeError  on times out of order.
   */
  match(detUs: Float64Array): Int32Array {
    checkTimes(detUs);
    if (this.nested) return this.nested.match(detUs);
    this.layOut(detUs);
    for (let row = 0; row < this.windows.length; ++row) this.fillRow(row, detUs);
    this.traceBack();
    return this.detOfRef;
  }

  private layOut(detUs: Float64Array): void {
    let size = 0;
    for (let row = 0, first = 0, last = 0; row < this.windows.length; ++row) {
      const { fromUs, toUs } = this.windows[row]!;
      while (first < detUs.length && detUs[first]! < fromUs) ++first;
      last = Math.max(last, first);
      while (last < detUs.length && detUs[last]! <= toUs) ++last;
      this.first[row] = first;
      this.last[row] = last;
      this.offset[row] = size - first;
      size += last - first + 1;
    }
    if (size <= this.move.length) return;
    this.count = new Int32Array(2 * size);
    this.distanceUs = new Float64Array(2 * size);
    this.move = new Uint8Array(2 * size);
  }

  private fillRow(row: number, detUs: Float64Array): void {
    const { atUs } = this.windows[row]!;
    const first = this.first[row]!;
    for (let column = first; column <= this.last[row]!; ++column) {
      const cell = this.offset[row]! + column;
      const above = this.cellAbove(row, column);
      this.count[cell] = above < 0 ? 0 : this.count[above]!;
      this.distanceUs[cell] = above < 0 ? 0 : this.distanceUs[above]!;
      this.move[cell] = SKIP_REF;
      if (column === first) continue;
      this.offer(cell, SKIP_DET, cell - 1, 0);
      this.offer(cell, PAIR, this.cellAbove(row, column - 1), Math.abs(detUs[column - 1]! - atUs));
    }
  }

  private traceBack(): void {
    let column = Number.MAX_SAFE_INTEGER;
    for (let row = this.windows.length - 1; row >= 0; --row) {
      column = Math.min(column, this.last[row]!);
      while (this.move[this.offset[row]! + column] === SKIP_DET) --column;
      this.detOfRef[row] = this.move[this.offset[row]! + column] === PAIR ? --column : -1;
    }
  }

  /** Where the best way to use `column` detections without this row's event stands; -1 above the first row. */
  private cellAbove(row: number, column: number): number {
    return row === 0 ? -1 : this.offset[row - 1]! + Math.min(column, this.last[row - 1]!);
  }

  /** Takes a way to reach a cell if it pairs more than the one taken so far, or as many at less distance. */
  private offer(cell: number, move: number, from: number, gapUs: number): void {
    const count = (from < 0 ? 0 : this.count[from]!) + (move === PAIR ? 1 : 0);
    const distanceUs = (from < 0 ? 0 : this.distanceUs[from]!) + gapUs;
    const best = this.count[cell]!;
    if (count < best || (count === best && distanceUs >= this.distanceUs[cell]!)) return;
    this.count[cell] = count;
    this.distanceUs[cell] = distanceUs;
    this.move[cell] = move;
  }
}

function checkWindows(windows: readonly MatchWindow[]): void {
  windows.forEach(({ fromUs, toUs, atUs }, i) => {
    for (const us of [fromUs, toUs, atUs])
      if (Number.isNaN(us)) throw new RangeError(`window ${i} must be made of numbers, got ${us}`);
  });
}

function doRise(windows: readonly MatchWindow[]): boolean {
  return windows.every(({ fromUs, toUs, atUs }, i) => {
    const before = windows[i - 1];
    return before === undefined || (fromUs >= before.fromUs && toUs >= before.toUs && atUs >= before.atUs);
  });
}

function checkTimes(detUs: Float64Array): void {
  for (let i = 1; i < detUs.length; ++i) {
    if (!(detUs[i]! >= detUs[i - 1]!)) {
      throw new RangeError(`detections must be in time order, but ${i} is before ${i - 1}`);
    }
  }
}
