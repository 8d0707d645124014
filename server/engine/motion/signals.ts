import type { Press, Segment } from '../base/log.ts';
import { RAD_PER_DEG } from '../base/units.ts';
import { isWindowed, makeSmoother, type SmoothingSettings, smoothingApplies } from '../filter/smoothing.ts';
import { ImpactMeter } from './impact.ts';
import type { CandidateMotion, RateMotion } from './motion.ts';
import { Remembered } from './remembered.ts';
import { SwingSpeed } from './swingSpeed.ts';
import { computeSwingTwist, computeTwist, type Twist, type TwistStart } from './twist.ts';

/** The swing speed, all that guard and deflection see, and the true speed beside it. Arrays are as long as `timeUs`. */
export interface SpeedSignals {
  readonly rateHz: number;
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
  readonly saturated: Uint8Array;
  /** √(ω_y² + ω_z²), each axis smoothed. Causal. */
  readonly swingSpeedDps: Float64Array;
  /** Zero-phase, for truth only. */
  readonly trueSpeedDps: Float64Array;
  /**
   * Presses of the button that deflections may wait for, in time order; null or missing where the log tells of none, so that
   * nobody knows when it was held.
   */
  readonly deflectionPresses?: readonly Press[] | null;
}

/** The channels that all of a candidate's detectors see. */
export interface Signals extends SpeedSignals {
  /** Smoothed like the rates. Causal. */
  readonly thrustG: Float64Array;
  readonly twistRateDps: Float64Array;
  /** Turned about the blade since the start that the candidate names. */
  readonly twistDeg: Float64Array;
  /** The twist part of the whole turn since that start; NaN where it is ill-defined. Shown, and used by no detector. */
  readonly swingTwistDeg: Float64Array;
  /** 1 where these angles start: set, or held, to 0. */
  readonly twistStarts: Uint8Array;
  readonly impactG: Float64Array;
  /** Settings of the candidate whose effect this take cannot show, one sentence each. */
  readonly warnings: readonly string[];
}

/** The settings of a candidate that its signals depend on. */
export interface SignalSettings {
  readonly smoothing: SmoothingSettings;
  readonly impact: { readonly highPassHz: number };
  readonly twist: { readonly startAt: TwistStart };
}

/** Above this part of the sample rate a high-pass passes next to nothing. */
const HIGHEST_PART = 0.45;

const impacts = new Remembered<Float64Array>();
const twists = new Remembered<Twist>();

/** @param out  becomes the swing speed; as long as the take. */
export function computeSpeedSignals(
  { rateHz, timeUs, segments, saturated, trueSpeedDps, gyroYDps, gyroZDps }: Omit<RateMotion, 'gyroXDps'>,
  smoothing: SmoothingSettings,
  out: Float64Array = new Float64Array(timeUs.length),
): SpeedSignals {
  const speed = new SwingSpeed(smoothing, rateHz);
  for (const { start, end } of segments) {
    speed.reset();
    speed.run(gyroYDps.subarray(start, end), gyroZDps.subarray(start, end), out.subarray(start, end));
  }
  return { rateHz, timeUs, segments, saturated, swingSpeedDps: out, trueSpeedDps };
}

/**
 * The signals of one candidate. Cheap compared with `computeMotion`: they are made again whenever the smoothing
 * changes. Twist and impact do not depend on the smoothing, and stay the same arrays.
 * @param presses  of every button: a twist may start at any of them. @param deflectionPresses  see `SpeedSignals`
 */
export function computeSignals(
  motion: CandidateMotion,
  candidate: SignalSettings,
  presses: readonly Press[],
  deflectionPresses: readonly Press[] | null = null,
): Signals {
  const { smoothing, impact } = candidate;
  const twist = rememberedTwist(motion, candidate.twist.startAt, presses);
  return {
    ...computeSpeedSignals(motion, smoothing),
    deflectionPresses,
    thrustG: smoothColumn(motion, motion.thrustUnsmoothedG, smoothing),
    twistRateDps: motion.gyroXDps,
    twistDeg: twist.twistDeg,
    get swingTwistDeg() {
      return twist.swingTwistDeg;
    },
    twistStarts: twist.twistStarts,
    impactG: impacts.get(motion, String(impact.highPassHz), () => computeImpact(motion, impact.highPassHz)),
    warnings: warningsOf(candidate, motion.rateHz),
  };
}

/** Columns of signals that were computed elsewhere, of the same motion and settings; some may be missing. */
export type SignalColumns = Pick<Signals, 'swingSpeedDps' | 'thrustG' | 'twistStarts'> &
  Partial<Pick<Signals, 'twistDeg' | 'impactG'>>;

/** How a column is kept: gives it whenever it is asked for, `made` or what `make` makes, the same each time. */
export type Hold = <Value extends object>(make: () => Value, made?: Value) => () => Value;

/**
 * The same signals, to the bit, for a take so long that not all of them are kept: swing speed and thrust are, impact and
 * twist are held as `hold` says. The motion is asked for its columns only as something is made.
 */
export function heldSignals(
  motion: CandidateMotion,
  candidate: SignalSettings,
  presses: readonly Press[],
  deflectionPresses: readonly Press[] | null,
  hold: Hold,
  made?: SignalColumns,
): Signals {
  const { smoothing, impact } = candidate;
  const speed = made ? speedSignalsOf(motion, made.swingSpeedDps) : computeSpeedSignals(motion, smoothing);
  // Kept once it is there: its stave is the one that is open most, and it takes the longest to be made again.
  let thrustG = made?.thrustG ?? null;
  const impactG = hold(() => computeImpact(motion, impact.highPassHz), made?.impactG);
  const makeTwist = () => computeTwist(motion, candidate.twist.startAt, presses);
  const first = made ?? makeTwist();
  const { twistStarts } = first;
  const twistDeg = hold(() => makeTwist().twistDeg, first.twistDeg);
  const swingTwistDeg = hold(() => computeSwingTwist(motion, twistStarts));
  return {
    ...speed,
    deflectionPresses,
    get thrustG() {
      thrustG ??= smoothColumn(motion, motion.thrustUnsmoothedG, smoothing);
      return thrustG;
    },
    get twistRateDps() {
      return motion.gyroXDps;
    },
    get twistDeg() {
      return twistDeg();
    },
    get swingTwistDeg() {
      return swingTwistDeg();
    },
    twistStarts,
    get impactG() {
      return impactG();
    },
    warnings: warningsOf(candidate, motion.rateHz),
  };
}

function speedSignalsOf(
  { rateHz, timeUs, segments, saturated, trueSpeedDps }: CandidateMotion,
  swingSpeedDps: Float64Array,
): SpeedSignals {
  return { rateHz, timeUs, segments, saturated, swingSpeedDps, trueSpeedDps };
}

/** Speed of the tip in m/s of a blade that reaches `bladeLengthM` from the turning point. */
export function tipSpeedMps(swingSpeedDps: number, bladeLengthM: number): number {
  return swingSpeedDps * RAD_PER_DEG * bladeLengthM;
}

function rememberedTwist(motion: CandidateMotion, startAt: TwistStart, presses: readonly Press[]): Twist {
  const downs = startAt === 'hold' ? presses.map(({ downUs }) => downUs) : [];
  return twists.get(motion, `${startAt} ${downs.join()}`, () => computeTwist(motion, startAt, presses));
}

/** A column of a motion smoothed, each segment anew. */
export function smoothColumn(
  { segments, rateHz }: Pick<CandidateMotion, 'segments' | 'rateHz'>,
  values: Float64Array,
  smoothing: SmoothingSettings,
): Float64Array {
  const out = new Float64Array(values.length);
  const smoother = makeSmoother(smoothing, rateHz);
  for (const { start, end } of segments) {
    smoother.reset();
    smoother.run(values.subarray(start, end), out.subarray(start, end));
  }
  return out;
}

function computeImpact(motion: CandidateMotion, highPassHz: number): Float64Array {
  const { segments, rateHz, accelXG, accelYG, accelZG } = motion;
  const out = new Float64Array(accelXG.length);
  if (!hearsImpact(highPassHz, rateHz)) return out;
  const meter = new ImpactMeter(highPassHz, rateHz);
  for (const { start, end } of segments) {
    meter.reset();
    for (let i = start; i < end; ++i) out[i] = meter.step(accelXG[i]!, accelYG[i]!, accelZG[i]!);
  }
  return out;
}

/** Whether a log of this rate holds anything above the high-pass. */
export function hearsImpact(highPassHz: number, rateHz: number): boolean {
  return highPassHz < HIGHEST_PART * rateHz;
}

function reachOf({ kind, cutoffHz, lengthMs }: SmoothingSettings): string {
  return isWindowed(kind) ? `over ${lengthMs} ms, which is one sample` : `at ${cutoffHz} Hz`;
}

function warningsOf({ smoothing, impact }: SignalSettings, rateHz: number): string[] {
  const rate = `${Number(rateHz.toFixed(1))} Hz`;
  const warnings: string[] = [];
  if (smoothing.kind !== 'none' && !smoothingApplies(smoothing, rateHz)) {
    warnings.push(`A log at ${rate} cannot show smoothing ${reachOf(smoothing)}: it is left out here.`);
  }
  if (!hearsImpact(impact.highPassHz, rateHz)) {
    warnings.push(
      `A log at ${rate} holds nothing above ${impact.highPassHz} Hz to hear an impact by: none is found here.`,
    );
  }
  return warnings;
}
