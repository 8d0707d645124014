import type { Calibration } from '../calibration.ts';
import type { Candidate } from '../candidate.ts';
import { makeSmoother, smoothingApplies } from '../filter/smoothing.ts';
import type { Press, Segment } from '../log.ts';
import { RAD_PER_DEG } from '../units.ts';
import { ImpactMeter } from './impact.ts';
import type { Motion } from './motion.ts';
import { computeTwist } from './twist.ts';

/** The channels that a candidate's detectors see, and the true speed beside them. Arrays are as long as `timeUs`. */
export interface Signals {
  readonly rateHz: number;
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
  readonly saturated: Uint8Array;
  /** √(ω_y² + ω_z²), each axis smoothed. Causal. */
  readonly swingSpeedDps: Float64Array;
  /** Zero-phase, for truth only. */
  readonly trueSpeedDps: Float64Array;
  /** Smoothed like the rates. Causal. */
  readonly thrustG: Float64Array;
  readonly twistRateDps: Float64Array;
  /** Turned about the blade since the start that the candidate names. */
  readonly twistDeg: Float64Array;
  readonly swingTwistDeg: Float64Array;
  readonly impactG: Float64Array;
  /** What of the candidate this take cannot show, one sentence each. */
  readonly warnings: readonly string[];
}

/** A high-pass above this part of the sample rate has next to nothing left to pass. */
const HIGHEST_PART = 0.45;

/**
 * Signals of one candidate. Cheap beside `computeMotion`: made again whenever a smoothing changes.
 * @param presses  of every button: a twist may start at any of them.
 */
export function computeSignals(
  motion: Motion,
  candidate: Candidate,
  _calibration: Calibration,
  presses: readonly Press[],
): Signals {
  const { rateHz, timeUs, segments, saturated, trueSpeedDps } = motion;
  const length = timeUs.length;
  const swingSpeedDps = new Float64Array(length);
  const thrustG = new Float64Array(length);
  const impactG = new Float64Array(length);
  for (const segment of segments) {
    smoothSpeed(motion, candidate, segment, swingSpeedDps);
    smoothThrust(motion, candidate, segment, thrustG);
    measureImpact(motion, candidate, segment, impactG);
  }
  const { twistDeg, swingTwistDeg } = computeTwist(motion, candidate.twist.startAt, presses);
  return {
    rateHz,
    timeUs,
    segments,
    saturated,
    swingSpeedDps,
    trueSpeedDps,
    thrustG,
    twistRateDps: motion.gyroXDps,
    twistDeg,
    swingTwistDeg,
    impactG,
    warnings: warningsOf(candidate, rateHz),
  };
}

/** Speed of the tip in m/s of a blade that reaches `bladeLengthM` from the turning point. */
export function tipSpeedMps(swingSpeedDps: number, bladeLengthM: number): number {
  return swingSpeedDps * RAD_PER_DEG * bladeLengthM;
}

function smoothSpeed(
  motion: Motion,
  { smoothing }: Candidate,
  { start, end }: Segment,
  out: Float64Array,
): void {
  const y = makeSmoother(smoothing, motion.rateHz);
  const z = makeSmoother(smoothing, motion.rateHz);
  for (let i = start; i < end; ++i) {
    const wy = y.step(motion.gyroYDps[i]!);
    const wz = z.step(motion.gyroZDps[i]!);
    out[i] = Math.sqrt(wy * wy + wz * wz);
  }
}

function smoothThrust(
  motion: Motion,
  { smoothing }: Candidate,
  { start, end }: Segment,
  out: Float64Array,
): void {
  const thrust = makeSmoother(smoothing, motion.rateHz);
  for (let i = start; i < end; ++i) out[i] = thrust.step(motion.thrustUnsmoothedG[i]!);
}

function measureImpact(
  motion: Motion,
  { impact }: Candidate,
  { start, end }: Segment,
  out: Float64Array,
): void {
  if (!hearsImpact(impact.highPassHz, motion.rateHz)) return;
  const meter = new ImpactMeter(impact.highPassHz, motion.rateHz);
  for (let i = start; i < end; ++i)
    out[i] = meter.step(motion.accelXG[i]!, motion.accelYG[i]!, motion.accelZG[i]!);
}

function hearsImpact(highPassHz: number, rateHz: number): boolean {
  return highPassHz < HIGHEST_PART * rateHz;
}

function warningsOf({ smoothing, impact }: Candidate, rateHz: number): string[] {
  const rate = `${Number(rateHz.toFixed(1))} Hz`;
  const warnings: string[] = [];
  if (smoothing.kind !== 'none' && !smoothingApplies(smoothing, rateHz)) {
    warnings.push(`A log at ${rate} cannot show smoothing at ${smoothing.cutoffHz} Hz: it is left out here.`);
  }
  if (!hearsImpact(impact.highPassHz, rateHz)) {
    warnings.push(
      `A log at ${rate} holds nothing above ${impact.highPassHz} Hz to hear an impact by: none is found here.`,
    );
  }
  return warnings;
}
