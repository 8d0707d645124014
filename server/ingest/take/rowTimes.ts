import type { Hooks, LogSource, Mapping } from '../ground/types.ts';
import type { RawTable } from '../table/rawTable.ts';
import { joinParts } from './assemble.ts';
import { clockOffsetUs } from './prepare.ts';
import { readParts } from './readTake.ts';

/** Moments of a take before and after it is read in another way. Both lists are as long; `fromUs` rises. */
export interface TimeMap {
  readonly fromUs: Float64Array;
  readonly toUs: Float64Array;
}

/**
 * Where the moments of a take go when its files are read by another mapping: row by row of the file that has most rows in
 * both readings, each row known by its line. Microseconds from the take's start. Empty where no two rows are in both.
 * @throws LogFormatError  where a file does not hold what a mapping expects
 */
export async function mapTimes(
  sources: readonly LogSource[],
  before: Mapping,
  after: Mapping,
  hooks: Hooks,
): Promise<TimeMap> {
  const from = await readRowTimes(sources, before, hooks);
  const to = await readRowTimes(sources, after, hooks);
  let best: readonly (readonly [number, number])[] = [];
  for (const [file, times] of from) {
    const others = to.get(file);
    if (!others) continue;
    const pairs = [...times].flatMap(([line, fromUs]): [number, number][] => {
      const toUs = others.get(line);
      return toUs === undefined ? [] : [[fromUs, toUs]];
    });
    if (pairs.length > best.length) best = pairs;
  }
  if (best.length < 2) return { fromUs: new Float64Array(0), toUs: new Float64Array(0) };
  const sorted = [...best].sort((a, b) => a[0] - b[0]);
  return {
    fromUs: Float64Array.from(sorted, ([fromUs]) => fromUs),
    toUs: Float64Array.from(sorted, ([, toUs]) => toUs),
  };
}

/** For each file, the moment of each line that is a row of it. */
async function readRowTimes(
  sources: readonly LogSource[],
  mapping: Mapping,
  hooks: Hooks,
): Promise<Map<number, Map<number, number>>> {
  const parts = await readParts(sources, mapping, hooks);
  const { base, startUs } = joinParts(parts);
  const files = new Map<number, Map<number, number>>();
  for (const { file, prepared } of parts) {
    const offsetUs = prepared === base ? 0 : clockOffsetUs(base, prepared);
    // Two tables of one file (rows of either sensor) have lines of their own.
    const times = files.get(file) ?? new Map<number, number>();
    if (offsetUs === null) continue;
    const { order } = prepared.axis;
    const lines = linesOf(prepared.table);
    for (let i = 0; i < prepared.timeUs.length; ++i)
      times.set(lines[order?.[i] ?? i]!, prepared.timeUs[i]! + offsetUs - startUs);
    files.set(file, times);
  }
  return files;
}

/** The line (from 1) of every row of a table. */
function linesOf({ rows, lineMarks }: RawTable): Float64Array {
  const lines = new Float64Array(rows);
  for (const [k, [from, line]] of lineMarks.entries()) {
    const end = lineMarks[k + 1]?.[0] ?? rows;
    for (let row = from; row < end; ++row) lines[row] = line + row - from;
  }
  return lines;
}
