import type { Mended } from '../ground/mended.ts';

/** Where small counters start anew; those of 8 bits and more are unwrapped as every clock is. */
const SMALL_MODULI = [10, 16, 32, 64, 100, 128] as const;
/** Once may be a new capture. */
const WRAPS_AT_LEAST = 2;
/** Largest share of rows that may have the number of the row before. */
const SHARED_AT_MOST = 0.1;
/** Smallest share of steps by one where rows are counted, though many are lost. */
const BY_ONE_AT_LEAST = 0.5;
const STEADY_AT_LEAST = 0.9;

/** What a column that seems to count samples counts. */
interface RowCounter {
  /** Whether its leaps tell lost rows: it counts rows, or steps evenly from row to row. */
  readonly isBelieved: boolean;
  readonly mended: readonly Mended[];
}

/**
 * Tells whether a counter counts the rows one by one. A counter of packets, each of several rows, or of ticks, says nothing
 * of rows.
 * @param clock  as it stands in the file; small counters that wrap are unwrapped in place
 * @param column  its number, from 1
 */
export function judgeCounter(clock: Float64Array, column: number): RowCounter {
  const wraps = unwrapSmall(clock);
  const counts = new Map<number, number>();
  for (let i = 1; i < clock.length; ++i) {
    const step = clock[i]! - clock[i - 1]!;
    counts.set(step, (counts.get(step) ?? 0) + 1);
  }
  const all = clock.length - 1;
  const shared = counts.get(0) ?? 0;
  const [usual, times] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [1, all];
  if (shared > SHARED_AT_MOST * all) {
    return { isBelieved: false, mended: [{ kind: 'counterDoubted', column, shared }] };
  }
  if (usual === 1 && times >= BY_ONE_AT_LEAST * all) return { isBelieved: true, mended: wraps };
  if (usual > 1 && times >= STEADY_AT_LEAST * all) {
    return { isBelieved: true, mended: [...wraps, { kind: 'counterLeaps', column, by: usual }] };
  }
  return { isBelieved: false, mended: [{ kind: 'counterDoubted', column, shared: null }] };
}

/** Unwraps in place where every fall is from the top of a small counter to its bottom. */
function unwrapSmall(clock: Float64Array): Mended[] {
  const [top, bottom] = [
    clock.reduce((a, b) => Math.max(a, b), -Infinity),
    clock.reduce((a, b) => Math.min(a, b), Infinity),
  ];
  const modulus = top - bottom + 1;
  let wraps = 0;
  for (let i = 1; i < clock.length; ++i) if (clock[i]! < clock[i - 1]!) ++wraps;
  if (!SMALL_MODULI.some((own) => own === modulus) || wraps < WRAPS_AT_LEAST) return [];
  let shift = 0;
  let previous = clock[0]!;
  for (let i = 1; i < clock.length; ++i) {
    const raw = clock[i]!;
    if (raw < previous) shift += modulus;
    previous = raw;
    clock[i] = raw + shift;
  }
  return [{ kind: 'counterWraps', wraps, modulus }];
}
