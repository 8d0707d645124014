import type { Intent } from '../../server/engine/detect/presses.ts';
import type { FineMotion } from './rigidBody.ts';

/** A swing of the intended motion; `startUs` and `endUs` are where it passes a tenth of its peak, or the dip between. */
interface TrueSwing {
  readonly startUs: number;
  readonly endUs: number;
  readonly peakUs: number;
  readonly peakDps: number;
}

/** The slowest moment between two swings whose peaks lie in one spin; 180 degrees = straight back along the same plane. */
export interface TrueReversal {
  readonly timeUs: number;
  readonly lowestDps: number;
  readonly turnDeg: number;
}

/** What happened in a simulated take. Times in whole microseconds on the log's own clock, from its first sample. */
export interface Truth {
  readonly synthetic: true;
  readonly note: string;
  readonly file: string;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  readonly rateHz: number;
  readonly durationUs: number;
  readonly sensor: {
    readonly name: string;
    readonly mount: { readonly tip: string; readonly side: string };
    /** Prop frame, from the turning point. */
    readonly leverArmM: readonly [number, number, number];
    /** Sensor frame, at the start of the take. */
    readonly gyroBiasDps: readonly [number, number, number];
    readonly gyroDriftDpsPerMin: number;
    readonly accelBiasG: readonly [number, number, number];
    readonly gyroNoiseDpsPerRootHz: number;
    readonly accelNoiseGPerRootHz: number;
    readonly gyroRangeDps: number | null;
    readonly accelRangeG: number | null;
  };
  readonly bladeLengthM: number;
  /** Numbers of the rows that never reached the file, counted from 0 among all rows taken. */
  readonly lostRows: readonly number[];
  /** `downUs` and `upUs` are the stamps of the first rows that show the button down, and up again. */
  readonly presses: readonly {
    readonly downUs: number;
    readonly upUs: number;
    readonly button: string;
    readonly intent: Intent;
    readonly why: string;
  }[];
  readonly spans: readonly { readonly startUs: number; readonly endUs: number; readonly kind: string }[];
  readonly swings: readonly TrueSwing[];
  readonly reversals: readonly TrueReversal[];
  readonly thrusts: readonly {
    readonly startUs: number;
    readonly endUs: number;
    readonly peakG: number;
    readonly meetsPad: boolean;
  }[];
  readonly hits: readonly { readonly timeUs: number; readonly peakG: number }[];
  readonly twists: readonly { readonly startUs: number; readonly endUs: number; readonly angleDeg: number }[];
}

/** Slower than this is no swing. */
const LEAST_SWING_DPS = 100;
/** A dip parts two swings only if it is this deep and takes away this share of the lower of the two peaks. */
const LEAST_DIP_DPS = 60;
const LEAST_DIP_SHARE = 0.3;

interface IndexSwing {
  readonly start: number;
  readonly end: number;
  readonly peak: number;
}

/** Swing speed without tremor, deg/s. */
function intendedSpeedDps(motion: FineMotion): Float64Array {
  const { y, z } = motion.intendedDps;
  const speed = new Float64Array(motion.length);
  for (let i = 0; i < speed.length; ++i) speed[i] = Math.sqrt(y[i]! * y[i]! + z[i]! * z[i]!);
  return speed;
}

/** Swings and, inside the spinning spans, reversals, read off the exact motion. */
export function trueSwings(
  motion: FineMotion,
  spinning: readonly { readonly startS: number; readonly endS: number }[],
  toUs: (tS: number) => number,
): { swings: TrueSwing[]; reversals: TrueReversal[] } {
  const speed = intendedSpeedDps(motion);
  const found = swingIndices(speed);
  const at = (i: number) => toUs(i / motion.hz);
  const swings = found.map((s) => ({
    startUs: at(s.start),
    endUs: at(s.end),
    peakUs: at(s.peak),
    peakDps: speed[s.peak]!,
  }));
  const reversals: TrueReversal[] = [];
  for (let k = 1; k < found.length; ++k) {
    const [before, after] = [found[k - 1]!, found[k]!];
    const isInside = ({ startS, endS }: { startS: number; endS: number }) =>
      startS <= before.peak / motion.hz && after.peak / motion.hz <= endS;
    if (!spinning.some(isInside)) continue;
    const lowest = slowest(speed, before.peak, after.peak);
    const turnDeg = turnBetween(motion, before, after);
    reversals.push({ timeUs: at(lowest), lowestDps: speed[lowest]!, turnDeg });
  }
  return { swings, reversals };
}

/** Peaks parted by dips, found by turning points that differ enough; each reaches down to a tenth of its peak. */
function swingIndices(speed: Float64Array): IndexSwing[] {
  const peaks: number[] = [];
  let [high, low, rising] = [0, 0, true];
  for (let i = 0; i < speed.length; ++i) {
    if (speed[i]! > speed[high]!) high = i;
    if (speed[i]! < speed[low]!) low = i;
    if (rising && isDip(speed[high]!, speed[i]!)) {
      if (speed[high]! >= LEAST_SWING_DPS) peaks.push(high);
      [low, rising] = [i, false];
    } else if (!rising && isDip(speed[i]!, speed[low]!)) {
      [high, rising] = [i, true];
    }
  }
  return peaks.map((peak, k) => {
    const from = k === 0 ? 0 : slowest(speed, peaks[k - 1]!, peak);
    const to = k === peaks.length - 1 ? speed.length - 1 : slowest(speed, peak, peaks[k + 1]!);
    const floor = 0.1 * speed[peak]!;
    let [start, end] = [peak, peak];
    while (start > from && speed[start - 1]! >= floor) --start;
    while (end < to && speed[end + 1]! >= floor) ++end;
    return { start, end, peak };
  });
}

function isDip(peakDps: number, lowestDps: number): boolean {
  return peakDps - lowestDps >= Math.max(LEAST_DIP_DPS, LEAST_DIP_SHARE * peakDps);
}

function slowest(speed: Float64Array, from: number, to: number): number {
  let lowest = from;
  for (let i = from; i <= to; ++i) if (speed[i]! < speed[lowest]!) lowest = i;
  return lowest;
}

/** Angle between the mean rates across the blade of two swings, prop frame. */
function turnBetween(motion: FineMotion, a: IndexSwing, b: IndexSwing): number {
  const { y, z } = motion.intendedDps;
  const mean = (s: IndexSwing) => {
    let [sy, sz] = [0, 0];
    for (let i = s.start; i <= s.end; ++i) {
      sy += y[i]!;
      sz += z[i]!;
    }
    return [sy, sz] as const;
  };
  const [ay, az] = mean(a);
  const [by, bz] = mean(b);
  return (Math.abs(Math.atan2(ay * bz - az * by, ay * by + az * bz)) * 180) / Math.PI;
}
