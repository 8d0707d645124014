import type { Segment, Span } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { firstWhere } from '../statistics/sorted.ts';

/** Which samples a guard is closed at: 1 a sample, or as runs. Both say the same, and what follows asks them alike. */
export type ClosedSamples = Uint8Array | ClosedRuns;

/**
 * The samples at which a guard is closed, as runs in order, none empty and none across a gap: what a step of a drag can
 * afford on a long take.
 */
export class ClosedRuns {
  readonly runs: readonly Segment[];
  /** Samples of the take. */
  readonly length: number;
  private samples: Uint8Array | null = null;
  /** Where the last search ended: presses are asked for in the order of time, each in several ways. */
  private near = 0;

  constructor(runs: readonly Segment[], length: number) {
    this.runs = runs;
    this.length = length;
  }

  /** 1 at each closed sample: made when it is first asked for, and kept. */
  get asSamples(): Uint8Array {
    if (this.samples === null) {
      this.samples = new Uint8Array(this.length);
      for (const { start, end } of this.runs) this.samples.fill(1, start, end);
    }
    return this.samples;
  }

  /** Place of the first run that ends behind a sample. */
  firstEndingAfter(index: number): number {
    const { runs, near } = this;
    const isThere =
      (near === 0 || runs[near - 1]!.end <= index) && (near === runs.length || runs[near]!.end > index);
    if (!isThere) this.near = firstWhere(runs.length, (k) => runs[k]!.end > index);
    return this.near;
  }
}

/** From its first closed sample to the first open one, or, at a segment's end, to one step past the last sample. */
export function spanOfRun(
  { timeUs, segments, rateHz }: Pick<SpeedSignals, 'timeUs' | 'segments' | 'rateHz'>,
  { start, end }: Segment,
): Span {
  const isCut = end === timeUs.length || (segments.length > 1 && segmentAt(segments, end - 1).end === end);
  const endUs = isCut ? timeUs[end - 1]! + Math.round(1e6 / rateHz) : timeUs[end]!;
  return { startUs: timeUs[start]!, endUs };
}

export function isClosedAt(closed: ClosedSamples, index: number): boolean {
  if (closed instanceof Uint8Array) return closed[index] === 1;
  const run = closed.runs[closed.firstEndingAfter(index)];
  return run !== undefined && run.start <= index;
}

/** How many samples of [start, end) are closed. */
export function countClosed(closed: ClosedSamples, start: number, end: number): number {
  let count = 0;
  if (closed instanceof Uint8Array) {
    for (let i = start; i < end; ++i) count += closed[i]!;
    return count;
  }
  for (let k = closed.firstEndingAfter(start); k < closed.runs.length; ++k) {
    const run = closed.runs[k]!;
    if (run.start >= end) break;
    count += Math.min(end, run.end) - Math.max(start, run.start);
  }
  return count;
}

/** The first open sample of [start, end); -1 where there is none. */
export function firstOpenIn(closed: ClosedSamples, start: number, end: number): number {
  if (closed instanceof Uint8Array) {
    const found = closed.subarray(start, end).indexOf(0);
    return found < 0 ? -1 : start + found;
  }
  let index = start;
  // Runs may touch where one segment ends and the next begins.
  for (let k = closed.firstEndingAfter(start); k < closed.runs.length; ++k) {
    if (closed.runs[k]!.start > index) break;
    index = closed.runs[k]!.end;
  }
  return index < end ? index : -1;
}

/** The first closed sample of [start, end); -1 where there is none. */
export function firstClosedIn(closed: ClosedSamples, start: number, end: number): number {
  if (closed instanceof Uint8Array) {
    const found = closed.subarray(start, end).indexOf(1);
    return found < 0 ? -1 : start + found;
  }
  const run = closed.runs[closed.firstEndingAfter(start)];
  const index = Math.max(start, run?.start ?? end);
  return index < end ? index : -1;
}

/** The last closed sample of [start, end); -1 where there is none. */
export function lastClosedIn(closed: ClosedSamples, start: number, end: number): number {
  if (closed instanceof Uint8Array) {
    const found = closed.subarray(start, end).lastIndexOf(1);
    return found < 0 ? -1 : start + found;
  }
  const place = closed.firstEndingAfter(end - 1);
  const run = closed.runs[place];
  const index = run !== undefined && run.start < end ? end - 1 : (closed.runs[place - 1]?.end ?? 0) - 1;
  return index >= start ? index : -1;
}
