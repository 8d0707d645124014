import { MOTION_COLUMNS, type Segment, type UniformLog } from '../base/log.ts';

/** A hole this short hides little of a turn. */
const LONGEST_US = 30_000;
/** Where the force differs behind the hole, two recordings may have been joined there. */
const MOST_STEP_G = 0.25;
/**
 * The log with its shortest holes filled by straight lines, where the force continues behind them as it was; the log itself
 * where there are none to fill. For
 * computations over whole seconds that look at no single sample: only rates, forces and segments are right, times and
 * marks are not.
 */
export function bridgeShortGaps(
  log: UniformLog,
): Pick<UniformLog, (typeof MOTION_COLUMNS)[number] | 'rateHz' | 'segments'> {
  const groups = groupSegments(log);
  if (groups.length === log.segments.length) return log;
  const length = groups.reduce((sum, parts) => sum + spanOf(log, parts), 0);
  const columns = Object.fromEntries(MOTION_COLUMNS.map((key) => [key, new Float64Array(length)])) as Record<
    (typeof MOTION_COLUMNS)[number],
    Float64Array
  >;
  const segments: Segment[] = [];
  let at = 0;
  for (const parts of groups) {
    const start = at;
    parts.forEach((part, k) => {
      const before = parts[k - 1];
      const missing = before ? missingBetween(log, before, part) : 0;
      for (const key of MOTION_COLUMNS) {
        const column = log[key];
        for (let h = 1; h <= missing; ++h) {
          const from = column[before!.end - 1]!;
          columns[key][at + h - 1] = from + ((column[part.start]! - from) * h) / (missing + 1);
        }
        columns[key].set(column.subarray(part.start, part.end), at + missing);
      }
      at += missing + part.end - part.start;
    });
    segments.push({ start, end: at });
  }
  return { ...columns, rateHz: log.rateHz, segments };
}

function groupSegments(log: UniformLog): Segment[][] {
  const groups: Segment[][] = [];
  for (const segment of log.segments) {
    const last = groups.at(-1);
    if (last && goesOn(log, last.at(-1)!, segment)) last.push(segment);
    else groups.push([segment]);
  }
  return groups;
}

function goesOn(log: UniformLog, before: Segment, { start }: Segment): boolean {
  const end = before.end - 1;
  const stepG = Math.sqrt(
    (log.accelXG[start]! - log.accelXG[end]!) ** 2 +
      (log.accelYG[start]! - log.accelYG[end]!) ** 2 +
      (log.accelZG[start]! - log.accelZG[end]!) ** 2,
  );
  return log.timeUs[start]! - log.timeUs[end]! <= LONGEST_US && stepG <= MOST_STEP_G;
}

function missingBetween(log: UniformLog, before: Segment, { start }: Segment): number {
  return Math.max(0, Math.round((log.timeUs[start]! - log.timeUs[before.end - 1]!) / log.stepUs) - 1);
}

function spanOf(log: UniformLog, parts: readonly Segment[]): number {
  return parts.reduce((sum, part, k) => {
    const before = parts[k - 1];
    return sum + part.end - part.start + (before ? missingBetween(log, before, part) : 0);
  }, 0);
}
