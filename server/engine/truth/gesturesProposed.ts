import type { Segment, Span } from '../base/log.ts';
import { samplesFromMs } from '../base/sampleCount.ts';
import { zeroPhaseLowPass } from '../filter/zeroPhase.ts';
import { HIT_MS } from '../labels/gesturesSimulated.ts';
import type { GestureKind, GestureLabel } from '../labels/labels.ts';
import type { CandidateMotion } from '../motion/motion.ts';
import { upperMedian } from '../statistics/sorted.ts';

/** A blow is force faster than a hand can make it: above this frequency, */
const HAND_HZ = 20;
/**
 * by at least this much (g), and by this share of the slow force beside it, as a swing's own pull shakes in the hand.
 */
const HIT_LEVEL = { leastG: 1.8, leastShare: 0.35 } as const;
/** At the end of a push along a slow blade less is enough: little else causes it. */
const POINT_LEVEL = { leastG: 0.6, leastShare: 0.15 } as const;
/** It is at least this many times the take's median, or the sensor is noisy. */
const NOISE_TIMES = 10;
/** Ring-down: this long after its peak it has fallen to RING_SHARE of it. A rattle has not. */
const RING_MS = 80;
const RING_SHARE = 0.4;
/** Blows closer than this are the ringing of one. */
const HIT_APART_MS = 120;

/** The hand's push along the blade, g, in the pulse before the blow. */
const THRUST_MIN_G = 0.8;
const THRUST_CUTOFF_HZ = 12;
/** Shortest and longest time for which it is above half of its peak. */
const THRUST_MS = { least: 30, most: 300 } as const;
/** The blow follows the pulse within this time. */
const THRUST_MEETS_MS = 150;
/** Faster than this the blade swings. */
const SLOW_BLADE_DPS = 150;

const TWIST_CUTOFF_HZ = 10;
const TWIST_MIN_DEG = 25;
/** A slower turn only brings the grip back. */
const TWIST_MIN_PEAK_DPS = 75;
/** A twist starts and ends at this part of its peak. */
const TWIST_BOUND_SHARE = 0.08;

/**
 * Hits, thrusts and twists as the physics of a take shows them, in time order, for a person to confirm. They come from
 * signals without delay that no device could have, so that no detector is measured by its own output. None goes across
 * a gap, and there are none where the motion holds no force.
 */
export function proposeGestures(motion: CandidateMotion): GestureLabel[] {
  if (motion.accelXG.length !== motion.timeUs.length) return [];
  return motion.segments
    .flatMap((segment) => {
      const blows = blowsIn(motion, segment);
      const thrusts = thrustsIn(motion, segment, blows);
      const hits = blows.filter((blow) => blow.isHit || thrusts.some((thrust) => thrust.blow === blow));
      return [
        ...hits.map(({ startUs, endUs }) => label('hit', startUs, endUs)),
        ...thrusts.map(({ startUs, endUs }) => label('thrust', startUs, endUs)),
        ...twistsIn(motion, segment),
      ];
    })
    .sort((a, b) => a.startUs - b.startUs || a.endUs - b.endUs);
}

interface Blow extends Span {
  /** Sharp enough to be a hit wherever it is. */
  readonly isHit: boolean;
}

/** Sharp peaks of the force beyond what hands do, with a ring-down. */
function blowsIn(motion: CandidateMotion, { start, end }: Segment): Blow[] {
  const { rateHz, timeUs } = motion;
  const { sharpG, slowG } = splitForce(motion, { start, end });
  const floorG = NOISE_TIMES * upperMedian(sharpG);
  const [apart, ring] = [samplesFromMs(HIT_APART_MS, rateHz), samplesFromMs(RING_MS, rateHz)];
  const blows: Blow[] = [];
  for (const peak of highestWithin(sharpG, POINT_LEVEL.leastG, apart)) {
    const peakG = sharpG[peak]!;
    const reaches = ({ leastG, leastShare }: typeof HIT_LEVEL | typeof POINT_LEVEL) =>
      peakG >= Math.max(leastG, floorG, leastShare * slowG[peak]!);
    if (!reaches(POINT_LEVEL) || !hasRungDown(sharpG, peak, ring)) continue;
    let first = peak;
    while (first > 0 && peak - first < apart && sharpG[first - 1]! >= 0.25 * peakG) --first;
    const startUs = timeUs[start + first]!;
    const endUs = Math.max(timeUs[start + peak]!, startUs + HIT_MS * 1000);
    blows.push({ startUs, endUs, isHit: reaches(HIT_LEVEL) });
  }
  return blows;
}

interface Thrust extends Span {
  readonly blow: Blow;
}

/** Pulses of push along the slow blade that end in a blow. */
function thrustsIn(motion: CandidateMotion, { start, end }: Segment, blows: readonly Blow[]): Thrust[] {
  const { rateHz, timeUs, thrustUnsmoothedG, trueSpeedDps } = motion;
  const push = lowPassed(thrustUnsmoothedG.subarray(start, end), THRUST_CUTOFF_HZ, rateHz);
  const meetsUs = THRUST_MEETS_MS * 1000;
  const thrusts: Thrust[] = [];
  for (const peak of highestWithin(push, THRUST_MIN_G, samplesFromMs(THRUST_MEETS_MS, rateHz))) {
    if (!isPulse(push, peak, rateHz)) continue;
    const whole = runAbove(push, peak, 0.1 * push[peak]!);
    if (!isSlow(trueSpeedDps, start + whole.start, start + whole.end)) continue;
    const [peakUs, endUs] = [timeUs[start + peak]!, timeUs[start + whole.end - 1]!];
    const blow = blows.find(({ startUs }) => startUs >= peakUs && startUs <= endUs + meetsUs);
    if (!blow) continue;
    const startUs = timeUs[start + whole.start]!;
    thrusts.push({ startUs, endUs: Math.max(startUs + 1, Math.min(endUs, blow.startUs)), blow });
  }
  return thrusts;
}

function isPulse(push: Float64Array, peak: number, rateHz: number): boolean {
  const { start, end } = runAbove(push, peak, 0.5 * push[peak]!);
  const ms = ((end - start) * 1000) / rateHz;
  return ms >= THRUST_MS.least && ms <= THRUST_MS.most;
}

/** Runs of turning about the blade, one way, while the blade itself is slow. */
function twistsIn(motion: CandidateMotion, { start, end }: Segment): GestureLabel[] {
  const { rateHz, timeUs, gyroXDps, trueSpeedDps } = motion;
  const rate = lowPassed(gyroXDps.subarray(start, end), TWIST_CUTOFF_HZ, rateHz);
  const twists: GestureLabel[] = [];
  for (let from = 0; from < rate.length; ) {
    const sign = Math.sign(rate[from]!);
    let to = from;
    let peak = from;
    while (to < rate.length && Math.sign(rate[to]!) === sign) {
      if (Math.abs(rate[to]!) > Math.abs(rate[peak]!)) peak = to;
      ++to;
    }
    const twist = twistAround(rate, from, to, peak, rateHz);
    if (twist && isSlow(trueSpeedDps, start + twist.start, start + twist.end))
      twists.push(label('twist', timeUs[start + twist.start]!, timeUs[start + twist.end - 1]!));
    from = Math.max(to, from + 1);
  }
  return twists;
}
function twistAround(rate: Float64Array, from: number, to: number, peak: number, rateHz: number) {
  const peakDps = Math.abs(rate[peak]!);
  if (!(peakDps >= TWIST_MIN_PEAK_DPS)) return null;
  let [start, end] = [peak, peak + 1];
  while (start > from && Math.abs(rate[start - 1]!) >= TWIST_BOUND_SHARE * peakDps) --start;
  while (end < to && Math.abs(rate[end]!) >= TWIST_BOUND_SHARE * peakDps) ++end;
  let deg = 0;
  for (let i = start; i < end; ++i) deg += Math.abs(rate[i]!) / rateHz;
  return deg >= TWIST_MIN_DEG ? { start, end } : null;
}

/** The force in g, split at HAND_HZ into its fast and its slow part. */
function splitForce(
  motion: CandidateMotion,
  { start, end }: Segment,
): { sharpG: Float64Array; slowG: Float64Array } {
  const sharpG = new Float64Array(end - start);
  const slowG = new Float64Array(end - start);
  const slow = new Float64Array(end - start);
  for (const column of [motion.accelXG, motion.accelYG, motion.accelZG]) {
    const force = column.subarray(start, end);
    lowPassed(force, HAND_HZ, motion.rateHz, slow);
    for (let i = 0; i < force.length; ++i) {
      sharpG[i]! += (force[i]! - slow[i]!) ** 2;
      slowG[i]! += slow[i]! ** 2;
    }
  }
  for (let i = 0; i < sharpG.length; ++i) {
    sharpG[i] = Math.sqrt(sharpG[i]!);
    slowG[i] = Math.sqrt(slowG[i]!);
  }
  return { sharpG, slowG };
}

function lowPassed(x: Float64Array, cutoffHz: number, rateHz: number, out?: Float64Array): Float64Array {
  return zeroPhaseLowPass(x, 2, Math.min(cutoffHz, 0.4 * rateHz), rateHz, out);
}

/**
 * Samples of this height or more that nothing within `apart` samples on either side exceeds; of equal ones the first.
 */
function highestWithin(x: Float64Array, least: number, apart: number): number[] {
  const peaks: number[] = [];
  for (let i = 0; i < x.length; ++i) {
    if (x[i]! >= least && x[i]! > (x[i - 1] ?? -Infinity) && x[i]! >= (x[i + 1] ?? -Infinity)) peaks.push(i);
  }
  peaks.sort((a, b) => x[b]! - x[a]! || a - b);
  const taken = new Uint8Array(x.length);
  const found = peaks.filter((i) => {
    if (taken[i] === 1) return false;
    taken.fill(1, Math.max(0, i - apart), i + apart + 1);
    return true;
  });
  return found.sort((a, b) => a - b);
}

function hasRungDown(sharpG: Float64Array, peak: number, ring: number): boolean {
  const from = peak + ring;
  if (from >= sharpG.length) return false;
  let high = 0;
  for (let i = from; i < Math.min(sharpG.length, from + ring); ++i) high = Math.max(high, sharpG[i]!);
  return high <= RING_SHARE * sharpG[peak]!;
}

function runAbove(x: Float64Array, peak: number, level: number): Segment {
  let [start, end] = [peak, peak + 1];
  while (start > 0 && x[start - 1]! >= level) --start;
  while (end < x.length && x[end]! >= level) ++end;
  return { start, end };
}

function isSlow(trueSpeedDps: Float64Array, start: number, end: number): boolean {
  for (let i = start; i < end; ++i) if (!(trueSpeedDps[i]! <= SLOW_BLADE_DPS)) return false;
  return true;
}

function label(kind: GestureKind, startUs: number, endUs: number): GestureLabel {
  return { kind, startUs, endUs, by: 'program' };
}
