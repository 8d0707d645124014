import type { Segment, Span } from '../base/log.ts';
import {
  identityQuat,
  multiplyQuat,
  normaliseQuat,
  type Quat,
  quatFromVectorRad,
  rotateByQuat,
} from '../base/quat.ts';
import { samplesFromMs } from '../base/sampleCount.ts';
import { RAD_PER_DEG } from '../base/units.ts';
import { OrientationFilter, START_S } from '../orientation/gravityFilter.ts';
import type { Motion } from './motion.ts';

/** Gravity has pulled the blade's direction back this long after the rates were last clipped. */
export const SETTLE_MS = 6000;
/** A saturated sample counts for the rates if they are at least this part of the largest ones of the take. */
const CLIPPED_PART = 0.8;

/**
 * The attitude of a blade over a take, for looking at it afterwards. Which way is up comes from gravity. The heading comes
 * from the rates alone: it drifts, nothing is known of it from one stretch without a gap to the next, and it means
 * nothing. Each stretch is turned so that its tip travels most along x.
 */
export interface BladePath {
  /** qEarthFromBody, four numbers a sample; x of the body is the blade, z of the earth is up. */
  readonly q: Float32Array;
  /** Where the direction may be off by many degrees: the rates were clipped, and what was turned then is not known. */
  readonly unsure: readonly Span[];
}

/** The attitude at every sample of a motion. @param leverArmM  from the turning point to the sensor. */
export function computeBladePath(motion: Motion, leverArmM: number): BladePath {
  const q = new Float32Array(4 * motion.timeUs.length);
  const filter = new OrientationFilter(motion.rateHz, leverArmM);
  for (const segment of motion.segments) {
    followGravity(motion, filter, segment, q);
    lookBack(motion, segment, q);
    turnAcross(segment, q);
  }
  return { q, unsure: unsureSpans(motion) };
}

/** Where the tip points at a sample, as a unit vector of the earth. */
export function tipAt(
  { q }: Pick<BladePath, 'q'>,
  index: number,
  out: Float64Array = new Float64Array(3),
): Float64Array {
  return rotateByQuat(quatAt(q, index), 1, 0, 0, out);
}

/** Where the body's y points, across the blade. */
export function sideAt(
  { q }: Pick<BladePath, 'q'>,
  index: number,
  out: Float64Array = new Float64Array(3),
): Float64Array {
  return rotateByQuat(quatAt(q, index), 0, 1, 0, out);
}

const read: Quat = identityQuat();

function quatAt(q: Float32Array, index: number): Quat {
  for (let k = 0; k < 4; ++k) read[k] = q[4 * index + k]!;
  return read;
}

function followGravity(
  motion: Motion,
  filter: OrientationFilter,
  { start, end }: Segment,
  out: Float32Array,
): void {
  const { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = motion;
  filter.reset();
  for (let i = start; i < end; ++i) {
    filter.step(gyroXDps[i]!, gyroYDps[i]!, gyroZDps[i]!, accelXG[i]!, accelYG[i]!, accelZG[i]!);
    out.set(filter.q, 4 * i);
  }
}

/**
 * At the start of a stretch the filter has little to go by: in a swing its first samples are off by anything. What it
 * knows after `START_S` is therefore turned back to the start by the rates.
 */
function lookBack(motion: Motion, { start, end }: Segment, out: Float32Array): void {
  const { gyroXDps, gyroYDps, gyroZDps, rateHz } = motion;
  const settled = Math.min(end, start + samplesFromMs(START_S * 1000, rateHz)) - 1;
  const q = Float64Array.from(out.subarray(4 * settled, 4 * settled + 4));
  const back = identityQuat();
  const half = -RAD_PER_DEG / (2 * rateHz);
  for (let i = settled - 1; i >= start; --i) {
    quatFromVectorRad(
      (gyroXDps[i]! + gyroXDps[i + 1]!) * half,
      (gyroYDps[i]! + gyroYDps[i + 1]!) * half,
      (gyroZDps[i]! + gyroZDps[i + 1]!) * half,
      back,
    );
    out.set(normaliseQuat(multiplyQuat(q, back, q)), 4 * i);
  }
}

/** Turns a stretch about the vertical so that its tip travels most along x, and more on its positive side. */
function turnAcross({ start, end }: Segment, q: Float32Array): void {
  const tip = new Float64Array(3);
  let [xx, yy, xy, meanX, meanY] = [0, 0, 0, 0, 0];
  for (let i = start; i < end; ++i) {
    tipAt({ q }, i, tip);
    const [x, y] = [tip[0]!, tip[1]!];
    xx += x * x;
    yy += y * y;
    xy += x * y;
    meanX += x;
    meanY += y;
  }
  const along = Math.atan2(2 * xy, xx - yy) / 2;
  const isBehind = meanX * Math.cos(along) + meanY * Math.sin(along) < 0;
  const turn = quatFromVectorRad(0, 0, -along + (isBehind ? Math.PI : 0));
  const turned = identityQuat();
  for (let i = start; i < end; ++i) q.set(multiplyQuat(turn, quatAt(q, i), turned), 4 * i);
}

function unsureSpans({ timeUs, segments, saturated, gyroXDps, gyroYDps, gyroZDps }: Motion): Span[] {
  const spans: Span[] = [];
  if (!saturated.includes(1)) return spans;
  const rate = (i: number): number => Math.hypot(gyroXDps[i]!, gyroYDps[i]!, gyroZDps[i]!);
  let largest = 0;
  for (let i = 0; i < timeUs.length; ++i) largest = Math.max(largest, rate(i));
  for (const { start, end } of segments) {
    for (let i = start; i < end; ++i) {
      if (saturated[i] !== 1 || rate(i) < CLIPPED_PART * largest) continue;
      const span = { startUs: timeUs[i]!, endUs: Math.min(timeUs[end - 1]!, timeUs[i]! + SETTLE_MS * 1000) };
      const last = spans.at(-1);
      if (last && last.endUs >= span.startUs) spans[spans.length - 1] = { ...last, endUs: span.endUs };
      else spans.push(span);
    }
  }
  return spans;
}
