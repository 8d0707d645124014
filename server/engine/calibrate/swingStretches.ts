import type { Segment, UniformLog } from '../base/log.ts';

/** Below this the prop hangs or is carried, and shows nothing of its arm. */
const SWINGING_DPS = 80;
/** Rest on either side that still belongs to a swing: it shows where gravity is. */
const MARGIN_S = 0.1;
/** The rates propagate a frame for this long before their own errors matter. */
const LONGEST_S = 2;
const SHORTEST_S = 0.2;

/**
 * Stretches in which a prop swings, 0.2 to 2 s each, cut where it is slowest. None holds a saturated sample, a NaN, or
 * the border of a segment.
 */
export function findSwingStretches(log: UniformLog, speedDps: Float64Array): Segment[] {
  const { rateHz, segments } = log;
  const margin = Math.ceil(MARGIN_S * rateHz);
  // below four samples the middle half is empty, and cutting there would not shorten the stretch
  const longest = Math.max(3, Math.ceil(LONGEST_S * rateHz));
  const found: Segment[] = [];
  for (const sound of segments.flatMap((segment) => soundParts(log, speedDps, segment))) {
    for (const swinging of swingingParts(speedDps, sound, margin)) cut(speedDps, swinging, longest, found);
  }
  return found.filter(({ start, end }) => end - start >= SHORTEST_S * rateHz + 2 * margin);
}

function soundParts(log: UniformLog, speedDps: Float64Array, { start, end }: Segment): Segment[] {
  return runs(start, end, (i) => {
    const isNumber = !Number.isNaN(speedDps[i]! + log.accelXG[i]! + log.accelYG[i]! + log.accelZG[i]!);
    return isNumber && log.saturated[i] === 0;
  });
}

/** Runs above the least speed, each with its margins, joined where they meet. */
function swingingParts(speedDps: Float64Array, { start, end }: Segment, margin: number): Segment[] {
  const joined: { start: number; end: number }[] = [];
  for (const run of runs(start, end, (i) => speedDps[i]! >= SWINGING_DPS)) {
    const part = { start: Math.max(start, run.start - margin), end: Math.min(end, run.end + margin) };
    const last = joined.at(-1);
    if (last && part.start <= last.end) last.end = part.end;
    else joined.push(part);
  }
  return joined;
}

/** Cuts a stretch that is too long at the slowest sample of its middle half, and the parts likewise. */
function cut(speedDps: Float64Array, { start, end }: Segment, longest: number, out: Segment[]): void {
  if (end - start <= longest) {
    out.push({ start, end });
    return;
  }
  const quarter = (end - start) >> 2;
  let slowest = start + quarter;
  for (let i = slowest; i < end - quarter; ++i) if (speedDps[i]! < speedDps[slowest]!) slowest = i;
  cut(speedDps, { start, end: slowest + 1 }, longest, out);
  cut(speedDps, { start: slowest, end }, longest, out);
}

/** Maximal runs of samples in [start, end) that satisfy a test. */
function runs(start: number, end: number, test: (index: number) => boolean): Segment[] {
  const found: Segment[] = [];
  let from = -1;
  for (let i = start; i <= end; ++i) {
    const holds = i < end && test(i);
    if (holds && from < 0) from = i;
    if (!holds && from >= 0) {
      found.push({ start: from, end: i });
      from = -1;
    }
  }
  return found;
}
