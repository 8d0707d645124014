/** Samples of one channel that stand at the end of its range. */
export interface ChannelSaturation {
  readonly count: number;
  /** The values at which the channel is stuck, as they stand in the file: 0, 1 or 2 of them. */
  readonly limits: readonly number[];
}

/** Largest codes of two's-complement words, and the value before the sign bit. */
export const CODE_ENDS = [127, 511, 2047, 8191, 32_767, 131_071, 524_287, 8_388_607];
const RATE_ENDS_DPS = [125, 245, 250, 300, 450, 500, 1000, 2000, 4000];
const ACCEL_ENDS_G = [1, 1.5, 2, 3, 4, 6, 8, 12, 16, 24, 32, 64, 100, 200, 400];
/** 32767/16.4 is 1998 and some parts' codes reach 1.147 times the nominal range. */
const END_SHARES = [1, 32_767 / 16.4 / 2000, (32_767 * 0.00875) / 250, 32_767 / 32_768];

/** A value of a common full scale is met this well: calibrated figures are not rounded to it by chance. */
const END_WITHIN = 3e-4;
/** The other end may lie this much further out, where a bias was taken off: beyond that the range has not ended here. */
const EXCEEDED_BY = 0.03;
/** Runs at one value that no full scale explains: a value held once is a hiccup of the logger. */
const RUNS_AT_LEAST = 2;

/**
 * Finds the ends at which a channel is stuck, and marks those samples in `mask`. An end counts as such where the
 * extreme value repeats exactly, in a run of two or more, the opposite peak does not exceed it, and it either lies at a
 * common full scale or is reached again and again by steep steps (a slow turn at the top of a coarse trace is none).
 * @param values  as they stand in the file
 * @param perUnit  g or deg/s in one unit of the file
 */
export function markSaturation(
  values: Float64Array,
  kind: 'accel' | 'gyro',
  perUnit: number,
  mask: Uint8Array,
): ChannelSaturation {
  const ends = findEnds(values);
  if (!(ends.highest.value > ends.lowest.value)) return { count: 0, limits: [] };
  const limits: number[] = [];
  let count = 0;
  for (const { value: end, count: times, repeats } of [ends.highest, ends.lowest]) {
    if (repeats === 0 || isExceeded(end, ends)) continue;
    if (!isStuck(values, end, times, isFullScale(end, kind, perUnit))) continue;
    limits.push(end);
    count += times;
    for (let i = 0; i < values.length; ++i) if (values[i] === end) mask[i] = 1;
  }
  return { count, limits };
}

/** True where the opposite peak lies further out: a range has ends of one size. */
function isExceeded(end: number, { highest, lowest }: { highest: End; lowest: End }): boolean {
  const opposite = end === highest.value ? -lowest.value : -highest.value;
  return opposite * Math.sign(end) > Math.abs(end) * (1 + EXCEEDED_BY);
}

/** An extreme value, how often it occurs, and how often right after itself. */
interface End {
  readonly value: number;
  readonly count: number;
  readonly repeats: number;
}

/** In one pass: a value that is further out than all before begins the count of its end anew. */
function findEnds(values: Float64Array): { highest: End; lowest: End } {
  let [high, highCount, highRepeats] = [-Infinity, 0, 0];
  let [low, lowCount, lowRepeats] = [Infinity, 0, 0];
  let before = Number.NaN;
  for (let i = 0; i < values.length; ++i) {
    const value = values[i]!;
    if (value >= high) {
      if (value > high) {
        high = value;
        highCount = 0;
        highRepeats = 0;
      }
      ++highCount;
      if (value === before) ++highRepeats;
    }
    if (value <= low) {
      if (value < low) {
        low = value;
        lowCount = 0;
        lowRepeats = 0;
      }
      ++lowCount;
      if (value === before) ++lowRepeats;
    }
    before = value;
  }
  return {
    highest: { value: high, count: highCount, repeats: highRepeats },
    lowest: { value: low, count: lowCount, repeats: lowRepeats },
  };
}

function isFullScale(end: number, kind: 'accel' | 'gyro', perUnit: number): boolean {
  const size = Math.abs(end);
  // The lowest code is one further out, also where its sign was reversed.
  if (Number.isInteger(end) && CODE_ENDS.some((code) => size === code || size === code + 1)) return true;
  return nominalEnd(size, kind, perUnit) !== null;
}

/**
 * The common full scale, in g or deg/s, at whose end a value lies; null where it lies at none.
 * @param size  as it stands in the file, without its sign
 * @param perUnit  g or deg/s in one unit of the file
 */
export function nominalEnd(size: number, kind: 'accel' | 'gyro', perUnit: number): number | null {
  const value = size * perUnit;
  const ends = kind === 'gyro' ? RATE_ENDS_DPS : ACCEL_ENDS_G;
  const isAt = (full: number) =>
    END_SHARES.some((share) => Math.abs(value / (full * share) - 1) < END_WITHIN);
  return ends.find(isAt) ?? null;
}

/** Ends of channels of one sensor are of one size within this, and two's complement has a code more on one side. */
const SAME_END = 1e-3;

/**
 * The size of the value at which channels of a sensor are stuck again and again, as it stands in the file and whatever its
 * unit; null where none is, or where they are stuck at several.
 */
export function stuckEnd(channels: readonly Float64Array[]): number | null {
  const found = channels.flatMap((values) => {
    const ends = findEnds(values);
    return [ends.highest, ends.lowest]
      .filter((end) => end.repeats > 0 && end.value !== 0 && !isExceeded(end.value, ends))
      .filter((end) => isStuck(values, end.value, end.count, false))
      .map((end) => Math.abs(end.value));
  });
  const least = Math.min(...found);
  const most = Math.max(...found);
  const isOne = most <= least * (1 + SAME_END) || (CODE_ENDS.includes(least) && most === least + 1);
  return found.length > 0 && isOne ? least : null;
}

function isStuck(values: Float64Array, end: number, count: number, atFullScale: boolean): boolean {
  let longest = 0;
  let steep = 0;
  let run = 0;
  const grain = atFullScale || count < 3 ? 0 : grainOf(values);
  for (let i = 0; i <= values.length; ++i) {
    if (i < values.length && values[i] === end) {
      ++run;
      continue;
    }
    if (run >= 2 && isSteep(values, i - run, i, grain)) ++steep;
    if (run > longest) longest = run;
    run = 0;
  }
  if (longest < 2) return false;
  return atFullScale || (count >= 3 && steep >= RUNS_AT_LEAST && longest > usualRun(values, end));
}

/** True where the trace leaps by more than a few grains into the run and out of it. */
function isSteep(values: Float64Array, from: number, to: number, grain: number): boolean {
  const into = from > 0 ? Math.abs(values[from]! - values[from - 1]!) : 0;
  const out = to < values.length ? Math.abs(values[to]! - values[to - 1]!) : 0;
  return Math.max(into, out) > 4 * grain;
}

/** Smallest nonzero step: one code, or next to nothing where values are not quantised. */
function grainOf(values: Float64Array): number {
  let grain = Infinity;
  for (let i = 1; i < values.length; ++i) {
    const step = Math.abs(values[i]! - values[i - 1]!);
    if (step > 0 && step < grain) grain = step;
  }
  return grain;
}

/** Longest run of one value among the tenth of samples next to this end: above 1 where the log repeats rows. */
function usualRun(values: Float64Array, end: number): number {
  const edge = end - 0.1 * end;
  let longest = 1;
  let run = 1;
  for (let i = 1; i < values.length; ++i) {
    const isNear = end > 0 ? values[i]! > edge : values[i]! < edge;
    run = isNear && values[i] === values[i - 1] && values[i] !== end ? run + 1 : 1;
    if (run > longest) longest = run;
  }
  return longest;
}
