import type { UniformLog } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import { Scratch } from '../base/scratch.ts';
import { STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { biasHalfWidths } from '../calibrate/biasInterval.ts';
import { apartDps } from '../calibrate/plausibleRests.ts';
import { findStillStretches } from '../calibrate/stillness.ts';
import type { StillStretch } from '../calibrate/stillStretch.ts';
import { CHANNELS, type ChannelKey } from './input.ts';
import type { Line } from './line.ts';

/** Common parts promise less bias; a part with more has mostly lost its set-up. */
const BIAS_GOOD_DPS = 10;
/** The bias is assumed to change evenly between two rests; half of this is the error that this may cause. */
const DRIFT_GOOD_DPS = 1.5;
/** Noise of common parts lies below 0.3 deg/s and 0.01 g: more is a sensor that was not still, or a poor one. */
const GYRO_NOISE_GOOD_DPS = 1;
const ACCEL_NOISE_GOOD_G = 0.02;
/** 3 % of 1 g is the tolerance of a common part; thrust is wrong by that much of gravity. */
const REST_GOOD_SHARE = 0.03;
/** With |f| this far from 1 g, the scale or the unit is wrong. */
const REST_LEAST_SHARE = 0.15;

/** The take's readings while the sensor lies still. */
export interface Rest {
  readonly stretches: readonly StillStretch[];
  /** Half widths of the 95 % intervals of each stretch's mean rates, x, y, z. */
  readonly biasHalfDps: readonly (readonly [number, number, number])[];
  readonly restUs: number;
  /** Standard deviations from each rest's mean, over all rests. */
  readonly noise: Readonly<Record<ChannelKey, number>>;
}

export function measureRest(log: UniformLog): Rest {
  const stretches = restsOf(log);
  const noise = {} as Record<ChannelKey, number>;
  for (const { key } of CHANNELS) {
    let squares = 0;
    let count = 0;
    for (const still of stretches) {
      const ranges = sampleRanges(log.timeUs, [{ startUs: still.startUs, endUs: still.endUs + 1 }]);
      for (const { start, end } of ranges) {
        for (let i = start; i < end; ++i) squares += (log[key][i]! - still[key]) ** 2;
        count += end - start;
      }
    }
    noise[key] = Math.sqrt(squares / count);
  }
  return {
    stretches,
    noise,
    biasHalfDps: biasHalfWidths(log, stretches),
    restUs: stretches.reduce((sum, { startUs, endUs }) => sum + endUs - startUs, 0),
  };
}

/** In a unit that reads too large, noise at rest looks like motion: then the rests are those of the right unit. */
function restsOf(log: UniformLog): readonly StillStretch[] {
  const found = findStillStretches(log);
  if (found.length > 0) return found;
  const scratch = new Scratch();
  for (const [, factor] of MISTAKEN_UNITS.filter(([, one]) => one > 1)) {
    const down = (key: 'accelXG' | 'accelYG' | 'accelZG'): Float64Array => {
      const out = scratch.column(key, log[key].length);
      for (let i = 0; i < out.length; ++i) out[i] = log[key][i]! / factor;
      return out;
    };
    const smaller = { accelXG: down('accelXG'), accelYG: down('accelYG'), accelZG: down('accelZG') };
    const stretches = findStillStretches({ ...log, ...smaller }).map((still) => ({
      ...still,
      accelXG: still.accelXG * factor,
      accelYG: still.accelYG * factor,
      accelZG: still.accelZG * factor,
    }));
    if (stretches.length > 0 && normsOf(stretches).every((norm) => Math.abs(norm / factor - 1) < 0.1))
      return stretches;
  }
  return [];
}

function normsOf(stretches: readonly StillStretch[]): number[] {
  return stretches.map(({ accelXG, accelYG, accelZG }) => Math.hypot(accelXG, accelYG, accelZG));
}

export interface FoundBias {
  /** At the first rest, sensor frame. */
  readonly dps: readonly [number, number, number];
  /** Half widths of the 95 % intervals of these. */
  readonly halfDps: readonly [number, number, number];
  /** The most by which two of the rests differ. */
  readonly driftDps: number;
  readonly restS: number;
  readonly stretches: number;
}

export function findBias({ stretches, restUs, biasHalfDps }: Rest): FoundBias | null {
  const [first] = stretches;
  if (!first) return null;
  const driftDps = biasWander(stretches);
  const dps = [first.gyroXDps, first.gyroYDps, first.gyroZDps] as const;
  return { dps, halfDps: biasHalfDps[0]!, driftDps, restS: restUs / 1e6, stretches: stretches.length };
}

export interface BiasLine extends Line<'bias'> {
  /** null where nothing lies still: then the bias is taken as 0. */
  readonly bias: FoundBias | null;
  /** From the first rest to the last one. */
  readonly spanUs: number;
  readonly isDrifting: boolean;
}

export function checkBias(rest: Rest): BiasLine {
  const bias = findBias(rest);
  if (!bias) return { id: 'bias', state: 'caution', bias, spanUs: 0, isDrifting: false };
  const spanUs = rest.stretches.at(-1)!.startUs - rest.stretches[0]!.startUs;
  const isDrifting = bias.driftDps > DRIFT_GOOD_DPS;
  const isLarge = Math.hypot(...bias.dps) > BIAS_GOOD_DPS;
  return { id: 'bias', state: isDrifting || isLarge ? 'caution' : 'pass', bias, spanUs, isDrifting };
}

/** The most by which the bias at one rest differs from that at another, of all of them. */
export function biasWander(stretches: readonly StillStretch[]): number {
  let most = 0;
  stretches.forEach((rest, k) => {
    for (const other of stretches.slice(0, k)) most = Math.max(most, apartDps(rest, other));
  });
  return most;
}

export interface NoiseLine extends Line<'noise'> {
  /** Standard deviations of the noisiest axes; null where nothing lies still. */
  readonly noise: { readonly gyroDps: number; readonly accelG: number } | null;
  /** Angle that the gyro's noise alone adds in ten seconds (standard deviation); null where not known. */
  readonly wanderDeg: number | null;
}

export function checkNoise({ stretches, noise }: Rest, wanderDeg: number | null): NoiseLine {
  if (stretches.length === 0) return { id: 'noise', state: 'caution', noise: null, wanderDeg };
  const gyroDps = largest(noise, 'gyro');
  const accelG = largest(noise, 'accel');
  const isQuiet = gyroDps <= GYRO_NOISE_GOOD_DPS && accelG <= ACCEL_NOISE_GOOD_G;
  return { id: 'noise', state: isQuiet ? 'pass' : 'caution', noise: { gyroDps, accelG }, wanderDeg };
}

function largest(noise: Rest['noise'], kind: 'gyro' | 'accel'): number {
  return Math.max(...CHANNELS.filter((one) => one.kind === kind).map(({ key }) => noise[key]));
}

/** |f| at rest is 1 g, whichever way the sensor lies. */
export interface RestForceLine extends Line<'restForce'> {
  /** |f| of the rest that is farthest from 1 g, and its distance once scaled; null where nothing lies still. */
  readonly force: { readonly readsG: number; readonly offShare: number } | null;
  readonly accelScale: number;
  readonly mistake: ForceMistake | null;
  /** Why no scale can be taken as found; null where one can. */
  readonly doubt: ScaleDoubt | null;
}

/** Explanation of a force at rest that is far from 1 g: gravity was removed, or one unit was taken for another. */
export type ForceMistake = 'noGravity' | 'mps2AsG' | 'gAsMps2' | 'milligAsG' | 'gAsMillig';

/** Why a scale is not sure: rests that show one direction only, or that disagree by more than a scale explains. */
export type ScaleDoubt = 'sameWayUp' | 'scatter';

const MISTAKEN_UNITS: readonly (readonly [ForceMistake, number])[] = [
  ['mps2AsG', STANDARD_GRAVITY_MPS2],
  ['gAsMps2', 1 / STANDARD_GRAVITY_MPS2],
  ['milligAsG', 1000],
  ['gAsMillig', 1e-3],
];
/** A force below this at rest holds no gravity. */
const NO_GRAVITY_G = 0.3;

/** @param doubt  of the scale that the rests show */
export function checkRestForce(
  { stretches }: Rest,
  accelScale: number,
  doubt: ScaleDoubt | null,
): RestForceLine {
  const line = { id: 'restForce', accelScale, doubt } as const;
  const off = (normG: number): number => Math.abs(normG * accelScale - 1);
  const [readsG] = normsOf(stretches).sort((a, b) => off(b) - off(a));
  if (readsG === undefined) return { ...line, state: 'caution', force: null, mistake: null };
  const force = { readsG, offShare: off(readsG) };
  const mistake = mistakeOf(readsG);
  // Swing speed needs no gravity: guard and deflection can be tuned all the same.
  if (mistake === 'noGravity') return { ...line, state: 'caution', force, mistake };
  if (force.offShare > REST_LEAST_SHARE) return { ...line, state: 'fail', force, mistake };
  return { ...line, state: force.offShare > REST_GOOD_SHARE ? 'caution' : 'pass', force, mistake: null };
}

/** The acceleration was logged with gravity taken out: at rest it reads next to nothing. */
export function isGravityMissing({ stretches }: Rest): boolean {
  return stretches.length > 0 && normsOf(stretches).every((normG) => mistakeOf(normG) === 'noGravity');
}

function mistakeOf(normG: number): ForceMistake | null {
  const unit = MISTAKEN_UNITS.find(([, factor]) => Math.abs(normG / factor - 1) < 0.1);
  return unit?.[0] ?? (normG < NO_GRAVITY_G ? 'noGravity' : null);
}
