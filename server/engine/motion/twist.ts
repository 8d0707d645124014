import type { Press } from '../base/log.ts';
import {
  identityQuat,
  multiplyQuat,
  normaliseQuat,
  type Quat,
  quatFromVectorRad,
  twistAboutXRad,
} from '../base/quat.ts';
import { DEG_PER_RAD, RAD_PER_DEG } from '../base/units.ts';
import type { CandidateMotion } from './motion.ts';

/**
 * Swing-twist is left undefined where the blade points further than this from its direction at the start. An error of
 * that direction is multiplied by tan(swing / 2) in the twist: 2.7 times here, without bound toward 180°, where every
 * twist gives the same direction.
 */
export const SWING_LIMIT_DEG = 140;
/** w² + x² of a unit quaternion is cos²(swing / 2). */
const LEAST_TWIST_PART = Math.cos((SWING_LIMIT_DEG / 2) * RAD_PER_DEG) ** 2;

/**
 * Two angles about the blade since a start, both unwrapped past ±180°. *Turned* is the integral of the rate about the
 * blade, which a device can accumulate. *Swing-twist* is the twist part of the whole turn since then: NaN where the
 * swing part exceeds `SWING_LIMIT_DEG`. They agree while the blade keeps its direction, and separate where it travels
 * round a cone. The attitude does not count full turns: where swing-twist is defined again, it continues with the
 * number of full turns that brings it nearest to *turned*.
 */
export class TwistAngle {
  turnedDeg = 0;
  swingTwistDeg = 0;
  private readonly halfStepS: number;
  private readonly whole: Quat = identityQuat();
  private readonly turn: Quat = identityQuat();
  private lastX = 0;
  private lastY = 0;
  private lastZ = 0;
  private isFirst = true;
  private readonly tellsSwingTwist: boolean;

  /** @param tellsSwingTwist  false leaves that angle at 0: it takes most of the time, and no detector asks for it. */
  constructor(rateHz: number, tellsSwingTwist = true) {
    this.halfStepS = 0.5 / rateHz;
    this.tellsSwingTwist = tellsSwingTwist;
  }

  /** Forgets everything: the next sample is a start. */
  reset(): void {
    this.isFirst = true;
  }

  /**
   * Rates in deg/s, bias removed. The turn between two samples is the mean of their rates times the step; a sample with
   * NaN counts for no time.
   */
  step(gxDps: number, gyDps: number, gzDps: number, isStart: boolean): void {
    if (Number.isNaN(gxDps + gyDps + gzDps)) return;
    if (isStart || this.isFirst) this.start();
    else this.advance(gxDps + this.lastX, gyDps + this.lastY, gzDps + this.lastZ);
    this.lastX = gxDps;
    this.lastY = gyDps;
    this.lastZ = gzDps;
  }

  private start(): void {
    this.isFirst = false;
    this.turnedDeg = 0;
    this.swingTwistDeg = 0;
    const { whole } = this;
    whole[0] = 1;
    whole[1] = whole[2] = whole[3] = 0;
  }

  private advance(sumX: number, sumY: number, sumZ: number): void {
    this.turnedDeg += sumX * this.halfStepS;
    if (!this.tellsSwingTwist) return;
    const k = this.halfStepS * RAD_PER_DEG;
    quatFromVectorRad(sumX * k, sumY * k, sumZ * k, this.turn);
    normaliseQuat(multiplyQuat(this.whole, this.turn, this.whole));
    this.swingTwistDeg = this.unwrapped(this.whole);
  }

  private unwrapped(whole: Quat): number {
    if (whole[0]! ** 2 + whole[1]! ** 2 < LEAST_TWIST_PART) return Number.NaN;
    const near = Number.isNaN(this.swingTwistDeg) ? this.turnedDeg : this.swingTwistDeg;
    const twistDeg = twistAboutXRad(whole) * DEG_PER_RAD;
    return twistDeg + 360 * Math.round((near - twistDeg) / 360);
  }
}

/** The event that sets the twist angle to zero. */
export type TwistStart = 'takeStart' | 'rest' | 'hold';

/** Both angles over a take, and a mark of 1 at each sample at which they start. */
export interface Twist {
  readonly twistDeg: Float64Array;
  readonly twistStarts: Uint8Array;
  /** Computed from the motion when it is first looked at, which on most takes nobody does. */
  readonly swingTwistDeg: Float64Array;
}

/** A start holds the angle at 0: while at rest, or at the sample where a button goes down. */
export function computeTwist(motion: CandidateMotion, startAt: TwistStart, presses: readonly Press[]): Twist {
  const { timeUs, segments, gyroXDps, gyroYDps, gyroZDps, stillMask } = motion;
  const twistDeg = new Float64Array(timeUs.length);
  const twistStarts = new Uint8Array(timeUs.length);
  const angle = new TwistAngle(motion.rateHz, false);
  const downs = startAt === 'hold' ? presses.map((press) => press.downUs).sort((a, b) => a - b) : [];
  let next = 0;
  for (const { start, end } of segments) {
    angle.reset();
    for (let i = start; i < end; ++i) {
      let isStart = startAt === 'rest' && stillMask[i] === 1;
      while (next < downs.length && downs[next]! <= timeUs[i]!) {
        isStart = true;
        ++next;
      }
      angle.step(gyroXDps[i]!, gyroYDps[i]!, gyroZDps[i]!, isStart);
      twistDeg[i] = angle.turnedDeg;
      twistStarts[i] = isStart || i === start ? 1 : 0;
    }
  }
  let swingTwistDeg: Float64Array | null = null;
  return {
    twistDeg,
    twistStarts,
    get swingTwistDeg() {
      swingTwistDeg ??= computeSwingTwist(motion, twistStarts);
      return swingTwistDeg;
    },
  };
}

/** The second angle alone, from where the first one starts. */
export function computeSwingTwist(motion: CandidateMotion, twistStarts: Uint8Array): Float64Array {
  const { timeUs, segments, rateHz, gyroXDps, gyroYDps, gyroZDps } = motion;
  const out = new Float64Array(timeUs.length);
  const angle = new TwistAngle(rateHz);
  for (const { start, end } of segments) {
    angle.reset();
    for (let i = start; i < end; ++i) {
      angle.step(gyroXDps[i]!, gyroYDps[i]!, gyroZDps[i]!, twistStarts[i] === 1);
      out[i] = angle.swingTwistDeg;
    }
  }
  return out;
}
