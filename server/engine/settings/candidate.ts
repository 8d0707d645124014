/** A candidate: one setting of the smoothing and of every detector. Frozen; change one by making another. */
export interface Candidate {
  readonly smoothing: SmoothingSettings;
  readonly guard: GuardSettings;
  readonly deflection: DeflectionSettings;
  readonly impact: ImpactSettings;
  readonly stab: StabSettings;
  readonly twist: TwistSettings;
}

/** The causal smoothing that a prop would run on each rate axis (and on thrust). */
export interface SmoothingSettings {
  readonly kind: 'none' | 'butterworth' | 'firstOrder' | 'movingAverage' | 'median';
  /** Counts for Butterworth only. */
  readonly order: 1 | 2 | 4;
  /** Counts for Butterworth and first order. */
  readonly cutoffHz: number;
  /** How far a moving average or a median looks back; counts for these two only. */
  readonly lengthMs: number;
}

export interface GuardSettings {
  readonly speedDps: number;
  readonly holdMs: number;
  /** 0 < releaseRatio <= 1; below 1 the guard lets go only below releaseRatio * speedDps. */
  readonly releaseRatio: number;
  readonly decideAt: 'press' | 'release';
}

export interface DeflectionSettings {
  readonly speedDps: number;
  /** 0 < rearmRatio <= 1. */
  readonly rearmRatio: number;
  readonly restMs: number;
  readonly confirmMs: number;
}

export interface ImpactSettings {
  readonly impactG: number;
  readonly restMs: number;
  /** Added to impactG for every 100 deg/s of swing speed. */
  readonly allowanceGPer100Dps: number;
  /** Corner of the high-pass whose output is "impact". */
  readonly highPassHz: number;
}

export interface StabSettings {
  readonly thrustG: number;
  readonly sustainMs: number;
  readonly quietDps: number;
  /** How long the blade must have been quiet before the thrust. */
  readonly quietBeforeMs: number;
  readonly windowMs: number;
  /** A swing faster than this between thrust and hit ends the wait for the hit. */
  readonly untilHitDps: number;
  /** A hit ends a thrust from this part of impact.impactG on; the allowance for swing speed stays whole. */
  readonly hitRatio: number;
}

export interface TwistSettings {
  readonly angleDeg: number;
  readonly windowMs: number;
  readonly quietDps: number;
  readonly degPerStep: number;
  /** What sets the twist angle to zero. */
  readonly startAt: 'takeStart' | 'rest' | 'hold';
}
