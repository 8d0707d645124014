import type { UniformLog } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import { STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { biasHalfWidths } from '../calibrate/biasInterval.ts';
import { apartDps } from '../calibrate/plausibleRests.ts';
import { findStillStretches } from '../calibrate/stillness.ts';
import type { StillStretch } from '../calibrate/stillStretch.ts';
import { counted, figure, lasting, percent, withHalf } from './figures.ts';
import { CHANNELS, type ChannelKey } from './input.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

/** Common parts promise less bias; one that has more has mostly lost its set-up. */
export const BIAS_GOOD_DPS = 10;
/** Between two rests the bias is taken to change evenly; half of this is how far that may be wrong. */
export const DRIFT_GOOD_DPS = 1.5;
/** Noise of common parts lies below 0.3 deg/s and 0.01 g: more is a sensor that was not still, or a poor one. */
export const GYRO_NOISE_GOOD_DPS = 1;
export const ACCEL_NOISE_GOOD_G = 0.02;
/** 3 % of 1 g is the tolerance of a common part; thrust is wrong by that much of gravity. */
export const REST_GOOD_SHARE = 0.03;
/** So far off, the scale or the unit is wrong. */
export const REST_LEAST_SHARE = 0.15;
const RECORD_REST = 'Begin each take with two seconds at rest on a table.';

/** What the take shows while the sensor lies still. */
export interface Rest {
  readonly stretches: readonly StillStretch[];
  /** Half widths of the 95 % intervals of each stretch's mean rates, x, y, z. */
  readonly biasHalfDps: readonly (readonly [number, number, number])[];
  readonly restUs: number;
  /** Standard deviations about each stretch's mean, all stretches together. */
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

/** In a unit that reads too large, noise at rest passes for motion: then the rests are those of the right unit. */
function restsOf(log: UniformLog): readonly StillStretch[] {
  const found = findStillStretches(log);
  if (found.length > 0) return found;
  for (const [factor] of MISTAKEN.filter(([one]) => one > 1)) {
    const down = (force: Float64Array): Float64Array => force.map((g) => g / factor);
    const smaller = { accelXG: down(log.accelXG), accelYG: down(log.accelYG), accelZG: down(log.accelZG) };
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

export function checkBias({ stretches, restUs, biasHalfDps }: Rest): CheckLine {
  const [first] = stretches;
  const last = stretches.at(-1);
  if (!first || !last)
    return cautions(
      'bias',
      'No second at rest, on a table and not in the hand: the gyro’s bias is not known and is taken as 0.',
      RECORD_REST,
      'twist angles, and slow speeds',
    );
  const bias = [first.gyroXDps, first.gyroYDps, first.gyroZDps];
  const size = Math.hypot(...bias);
  const drift = biasWander(stretches);
  const drifted =
    stretches.length > 1
      ? ` It wanders by ${figure(drift, 2)} °/s over the rests of ${lasting(last.startUs - first.startUs)}.`
      : ' One rest only, so its drift is not known.';
  const finding = `${bias.map((part, k) => withHalf(part, biasHalfDps[0]![k]!)).join(', ')} °/s on x, y, z (95 %), from ${lasting(restUs)} at rest in ${counted(stretches.length, 'stretch', 'stretches')}.${drifted}`;
  if (drift > DRIFT_GOOD_DPS)
    return cautions(
      'bias',
      finding,
      'Let the sensor warm up for a minute, and rest it now and then in a take.',
      'twist angles far from a rest',
    );
  if (size > BIAS_GOOD_DPS)
    return cautions(
      'bias',
      finding,
      'It is taken off, but a sensor so far off may have lost its set-up: power it up anew at rest.',
      'the gyro’s scale',
    );
  return passes('bias', finding);
}

/** The most by which the bias at one rest differs from that at another, of all of them. */
export function biasWander(stretches: readonly StillStretch[]): number {
  let most = 0;
  stretches.forEach((rest, k) => {
    for (const other of stretches.slice(0, k)) most = Math.max(most, apartDps(rest, other));
  });
  return most;
}

/** @param driftDeg  how far the gyro's noise alone turns an angle in ten seconds; null where not known */
export function checkNoise({ stretches, noise }: Rest, driftDeg: number | null): CheckLine {
  if (stretches.length === 0)
    return cautions('noise', 'Not known: nothing lies still here.', RECORD_REST, 'fine thresholds');
  const gyro = largest(noise, 'gyro');
  const accel = largest(noise, 'accel');
  const wander = driftDeg === null ? '' : ` By noise alone an angle wanders ${figure(driftDeg, 2)}° in 10 s.`;
  const finding = `${figure(gyro, 2)} °/s and ${figure(1000 * accel, 2)} mg (standard deviation, worst axes).${wander}`;
  if (gyro > GYRO_NOISE_GOOD_DPS || accel > ACCEL_NOISE_GOOD_G)
    return cautions(
      'noise',
      finding,
      'Rest the prop on a table, its fan or sound off; else look for a lower noise setting of the sensor.',
      'low thresholds',
    );
  return passes('noise', finding);
}

function largest(noise: Rest['noise'], kind: 'gyro' | 'accel'): number {
  return Math.max(...CHANNELS.filter((one) => one.kind === kind).map(({ key }) => noise[key]));
}

/** |f| at rest is 1 g, whichever way the sensor lies. */
export function checkRestForce({ stretches }: Rest, accelScale: number): CheckLine {
  if (stretches.length === 0)
    return cautions(
      'restForce',
      'Not tested: nothing lies still here.',
      RECORD_REST,
      'thrust and impact, as far as the scale is off',
    );
  const norms = normsOf(stretches);
  const worst = norms.reduce((far, norm) =>
    offOne(norm, accelScale) > offOne(far, accelScale) ? norm : far,
  );
  const off = offOne(worst, accelScale);
  const scaled =
    accelScale === 1
      ? ''
      : `, ${figure(worst * accelScale, 4)} g after the scale of ${figure(accelScale, 4)}`;
  const finding = `The accelerometer reads ${figure(worst, 4)} g at rest${scaled}, ${percent(off)} off 1 g.`;
  // What needs no gravity (the speed of a swing, and so guard and deflection) can be tuned all the same.
  if (isWithoutGravity(worst))
    return cautions(
      'restForce',
      `${finding} ${likelyUnit(worst)} Swing speed, guard and deflections can be tuned; thrusts and stabs cannot.`,
      'Log the accelerometer itself, not “linear acceleration”, or gravity beside it.',
      'orientation, thrusts and stabs',
    );
  if (off > REST_LEAST_SHARE)
    return fails(
      'restForce',
      `${finding} ${likelyUnit(worst)}`,
      'Correct the accelerometer’s unit in the preview and add the file again.',
      'thrust, impact and gravity',
    );
  if (off > REST_GOOD_SHARE)
    return cautions(
      'restForce',
      finding,
      'Accept the accelerometer’s scale on the calibration card.',
      'thrust and impact, as far as the scale is off',
    );
  return passes('restForce', finding);
}

function offOne(normG: number, accelScale: number): number {
  return Math.abs(normG * accelScale - 1);
}

const MISTAKEN: readonly (readonly [number, string])[] = [
  [STANDARD_GRAVITY_MPS2, 'That is m/s² taken for g.'],
  [1 / STANDARD_GRAVITY_MPS2, 'That is g taken for m/s².'],
  [1000, 'That is thousandths of g taken for g.'],
  [1e-3, 'That is g taken for thousandths of g.'],
];

/** The acceleration was logged with gravity taken out: at rest it reads next to nothing. */
export function isGravityMissing({ stretches }: Rest): boolean {
  const norms = normsOf(stretches);
  return norms.length > 0 && norms.every(isWithoutGravity);
}

function likelyUnit(normG: number): string {
  const found = MISTAKEN.find(([factor]) => Math.abs(normG / factor - 1) < 0.1);
  if (found) return found[1];
  return normG < 0.3 ? 'Gravity is missing: this is acceleration with gravity taken out.' : '';
}

function isWithoutGravity(normG: number): boolean {
  return likelyUnit(normG).startsWith('Gravity');
}
