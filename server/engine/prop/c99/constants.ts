import { mountMatrix } from '../../base/mount.ts';
import { samplesFromMs } from '../../base/sampleCount.ts';
import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../../base/units.ts';
import type { Calibration } from '../../calibrate/calibration.ts';
import { guardReachSamples } from '../../detect/guard.ts';
import type { Section } from '../../filter/biquad.ts';
import { designHighPass, designLowPass, warped } from '../../filter/butterworth.ts';
import { FirstOrderLowPass } from '../../filter/firstOrder.ts';
import { smoothingApplies, smoothingSamples } from '../../filter/smoothing.ts';
import { hearsImpact } from '../../motion/signals.ts';
import { QUIET_DPS, QUIET_G, REST_MS, SCALE_G } from '../../motion/stillMask.ts';
import { CORNER_HZ, LEAST_MEAN_G, START_S } from '../../orientation/gravityFilter.ts';
import type { Candidate } from '../../settings/candidate.ts';
import { REST_ACCEL_G, REST_BIAS_MS, REST_GYRO_DPS, REST_MOST_DPS } from '../restBias.ts';

/** What a setting is exported for: the prop's own mount, scale, lever arm and sample rate. */
export interface PropBuild {
  readonly candidate: Candidate;
  readonly calibration: Pick<Calibration, 'mount' | 'accelScale' | 'leverArmM'>;
  readonly rateHz: number;
}

/** A named constant of the header; `about` is its comment. */
export interface Constant {
  readonly name: string;
  readonly value: string;
  readonly about: string;
}

const KINDS = {
  none: 'PROP_UNSMOOTHED',
  firstOrder: 'PROP_FIRST_ORDER',
  butterworth: 'PROP_BUTTERWORTH',
  movingAverage: 'PROP_MOVING_AVERAGE',
  median: 'PROP_MEDIAN',
} as const;

const ACTS = { press: 'PROP_AT_PRESS', release: 'PROP_AT_RELEASE', held: 'PROP_WHILE_HELD' } as const;
const ON = { always: 'PROP_ALWAYS', held: 'PROP_WHILE_HELD' } as const;
const LENGTHS = { any: 'PROP_ANY_PRESS', short: 'PROP_SHORT_PRESS', long: 'PROP_LONG_PRESS' } as const;

const STARTS = { takeStart: 'PROP_AT_RESET', rest: 'PROP_AT_REST', hold: 'PROP_AT_BUTTON' } as const;

/** The type that an application may choose. */
const REAL = '(prop_real)';

/** The setting's own numbers, as a person would type them off. */
export function settingConstants({ candidate, calibration, rateHz }: PropBuild): Constant[] {
  const { smoothing, guard, deflection, impact, stab, twist } = candidate;
  const kind = smoothingApplies(smoothing, rateHz) ? smoothing.kind : 'none';
  return [
    real('RATE_HZ', rateHz, 'samples a second'),
    real('ARM_M', calibration.leverArmM, 'from the turning point to the sensor, along the blade'),
    real('ACCEL_SCALE', calibration.accelScale, 'factor on the accelerometer'),
    { name: 'PROP_SMOOTHING', value: KINDS[kind], about: smoothingAbout(candidate, rateHz) },
    ...smoothingNumbers(smoothing, kind),
    real('GUARD_SPEED_DPS', guard.speedDps, 'closes at this swing speed'),
    real('GUARD_HOLD_MS', guard.holdMs, 'stays closed for so long afterwards'),
    real('GUARD_RELEASE_RATIO', guard.releaseRatio, 'opens below this part of its speed'),
    { name: 'PROP_POWER_ACTS', value: ACTS[guard.decideAt], about: 'when the power button acts' },
    real('POWER_HELD_LIMIT_MS', guard.heldLimitMs, 'a held press acts within'),
    { name: 'PROP_POWER_LENGTH', value: LENGTHS[guard.pressLength], about: 'presses that it answers to' },
    real('POWER_LONG_MS', guard.longFromMs, 'a press is long from'),
    real('POWER_DEBOUNCE_MS', guard.debounceMs, 'presses are one if it is up for less'),
    real('DEFLECTION_SPEED_DPS', deflection.speedDps, 'fires at this swing speed'),
    real('DEFLECTION_REARM_RATIO', deflection.rearmRatio, 'arms again below this part of its speed'),
    real('DEFLECTION_REST_MS', deflection.restMs, 'shortest time between two'),
    real('DEFLECTION_CONFIRM_MS', deflection.confirmMs, 'the speed must last so long'),
    { name: 'PROP_DEFLECTIONS_ON', value: ON[deflection.switchedOn], about: 'when deflections are on' },
    real('DEFLECTION_DEBOUNCE_MS', deflection.debounceMs, 'they go off once their button is up for so long'),
    real('IMPACT_G', impact.impactG, 'fires from this force on'),
    real(
      'IMPACT_ALLOWANCE_G_PER_DPS',
      impact.allowanceGPer100Dps / 100,
      'added for each deg/s of swing speed',
    ),
    real('IMPACT_REST_MS', impact.restMs, 'shortest time between two'),
    real('IMPACT_HIGH_PASS_HZ', impact.highPassHz, 'corner of its high-pass'),
    real('STAB_THRUST_G', stab.thrustG, 'a thrust from this force on'),
    real('STAB_SUSTAIN_MS', stab.sustainMs, 'the thrust must last so long'),
    real('STAB_QUIET_DPS', stab.quietDps, 'at no more swing speed than this'),
    real('STAB_QUIET_BEFORE_MS', stab.quietBeforeMs, 'that slow for so long before'),
    real('STAB_WINDOW_MS', stab.windowMs, 'a hit must follow within'),
    real('STAB_UNTIL_HIT_DPS', stab.untilHitDps, 'with no more swing speed until then'),
    real('STAB_HIT_G', stab.hitRatio * impact.impactG, 'a hit that ends a thrust'),
    real('TWIST_ANGLE_DEG', twist.angleDeg, 'fires at this turn'),
    real('TWIST_WINDOW_MS', twist.windowMs, 'within so long'),
    real('TWIST_QUIET_DPS', twist.quietDps, 'at no more swing speed than this'),
    real('TWIST_DEG_PER_STEP', twist.degPerStep, 'dial: turn for one step'),
    { name: 'PROP_TWIST_START', value: STARTS[twist.startAt], about: 'where the angle is set to 0' },
  ];
}

/** The numbers of a smoothing that mean something for its kind. */
function smoothingNumbers(
  { order, cutoffHz, lengthMs }: Candidate['smoothing'],
  kind: keyof typeof KINDS,
): Constant[] {
  const cutoff = real('SMOOTHING_CUTOFF_HZ', cutoffHz, 'its corner');
  switch (kind) {
    case 'none':
      return [];
    case 'firstOrder':
      return [cutoff];
    case 'butterworth':
      return [whole('SMOOTHING_ORDER', order), cutoff];
    case 'movingAverage':
    case 'median':
      return [real('SMOOTHING_LENGTH_MS', lengthMs, 'it looks back so long')];
  }
}

/** How the sensor sits, as plain numbers, for code that has its own types. */
export function mountConstant({ mount }: PropBuild['calibration']): Constant {
  return matrix('MOUNT_MATRIX', rows(mountMatrix(mount)), MOUNT_ABOUT, '');
}

const MOUNT_ABOUT = 'from the sensor’s axes to the prop’s: x to the tip';

/** What follows from them at the sample rate: counts of samples, and coefficients of filters. */
export function derivedConstants({ candidate, calibration, rateHz }: PropBuild): Constant[] {
  const { smoothing, guard, deflection, impact, stab, twist } = candidate;
  const samples = (name: string, ms: number) => whole(`${name}_SAMPLES`, samplesFromMs(ms, rateHz));
  const wholeBefore = (ms: number) => Math.floor((ms * rateHz) / 1000 + 1e-9);
  const heard = hearsImpact(impact.highPassHz, rateHz);
  const { leverArmM } = calibration;
  return [
    matrix('MOUNT', rows(mountMatrix(calibration.mount)), MOUNT_ABOUT),
    ...smoothingConstants(smoothing, rateHz),
    whole('GUARD_HOLD_SAMPLES', guardReachSamples(guard.holdMs, rateHz)),
    whole('POWER_HELD_LIMIT_SAMPLES', wholeBefore(guard.heldLimitMs)),
    whole('POWER_LONG_AT_SAMPLES', wholeBefore(guard.longFromMs)),
    samples('POWER_LONG', guard.longFromMs),
    whole('POWER_KNOWN_UP_SAMPLES', wholeBefore(guard.debounceMs)),
    samples('POWER_DEBOUNCE', guard.debounceMs),
    samples('DEFLECTION_REST', deflection.restMs),
    samples('DEFLECTION_CONFIRM', deflection.confirmMs),
    samples('DEFLECTION_DEBOUNCE', deflection.debounceMs),
    samples('IMPACT_REST', impact.restMs),
    whole('IMPACT_IS_HEARD', heard ? 1 : 0),
    ...(heard
      ? [
          matrix(
            'IMPACT_COEFFICIENTS',
            designHighPass(2, impact.highPassHz, rateHz).map(row),
            'b0 b1 b2 a1 a2',
          ),
        ]
      : []),
    samples('STAB_SUSTAIN', stab.sustainMs),
    samples('STAB_QUIET_BEFORE', stab.quietBeforeMs),
    samples('STAB_WINDOW', stab.windowMs),
    samples('TWIST_WINDOW', twist.windowMs),
    real(
      'PULL_G_PER_DPS2',
      (leverArmM * RAD_PER_DEG * RAD_PER_DEG) / STANDARD_GRAVITY_MPS2,
      'a swing’s pull at the arm',
    ),
    real(
      'ARM_G_PER_DPS',
      (leverArmM * RAD_PER_DEG * rateHz) / STANDARD_GRAVITY_MPS2,
      'a change of speed in one sample, as a force',
    ),
    ...orientationConstants(rateHz),
    whole('STILL_SAMPLES', Math.max(1, samplesFromMs(REST_MS, rateHz))),
    real('STILL_DPS', QUIET_DPS, 'slower than this is still'),
    real('STILL_G', QUIET_G, 'a force as steady as this'),
    real('STILL_SCALE_G', SCALE_G, 'and no further than this from 1 g'),
    whole('REST_BIAS_SAMPLES', Math.max(2, samplesFromMs(REST_BIAS_MS, rateHz))),
    real('REST_GYRO_DPS', REST_GYRO_DPS, 'noise of a rest: standard deviation of each axis'),
    real('REST_ACCEL_G', REST_ACCEL_G, ''),
    real('REST_MOST_DPS', REST_MOST_DPS, 'no bias is larger'),
  ];
}

function smoothingConstants(smoothing: Candidate['smoothing'], rateHz: number): Constant[] {
  const none = [whole('MAX_SECTIONS', 1)];
  if (!smoothingApplies(smoothing, rateHz)) return none;
  switch (smoothing.kind) {
    case 'none':
      return none;
    case 'firstOrder':
      return [...none, real('SMOOTHING_ALPHA', new FirstOrderLowPass(smoothing.cutoffHz, rateHz).alpha, '')];
    case 'butterworth': {
      const sections = designLowPass(smoothing.order, smoothing.cutoffHz, rateHz);
      return [
        whole('MAX_SECTIONS', sections.length),
        whole('SMOOTHING_SECTIONS', sections.length),
        matrix('SMOOTHING_COEFFICIENTS', sections.map(row), 'b0 b1 b2 a1 a2'),
      ];
    }
    case 'movingAverage':
    case 'median':
      return [...none, whole('SMOOTHING_SAMPLES', smoothingSamples(smoothing, rateHz))];
  }
}

/** A Butterworth low-pass of second order as two trapezoidal integrators: g = tan(π f / fs), damping 1/Q = √2. */
function orientationConstants(rateHz: number): Constant[] {
  const g = warped(Math.min(CORNER_HZ, 0.2 * rateHz), rateHz);
  const a1 = 1 / (1 + g * (g + Math.SQRT2));
  return [
    whole('ORIENTATION_START_SAMPLES', Math.ceil(START_S * rateHz)),
    real('ORIENTATION_LEAST_G', LEAST_MEAN_G, 'a mean force shorter than this has no direction'),
    real('ORIENTATION_A1', a1, `low-pass of the force, ${CORNER_HZ} Hz`),
    real('ORIENTATION_A2', g * a1, ''),
    real('ORIENTATION_A3', g * g * a1, ''),
  ];
}

function smoothingAbout({ smoothing }: Candidate, rateHz: number): string {
  const { kind, order, cutoffHz, lengthMs } = smoothing;
  if (kind === 'none') return 'of each rate across the blade, and of the thrust';
  if (!smoothingApplies(smoothing, rateHz)) return 'the rate is too low for the smoothing that was set';
  if (kind === 'butterworth') return `order ${order}, ${cutoffHz} Hz`;
  return kind === 'firstOrder' ? `${cutoffHz} Hz` : `${lengthMs} ms`;
}

function row({ b0, b1, b2, a1, a2 }: Section): number[] {
  return [b0, b1, b2, a1, a2];
}

function rows(m: Float64Array): number[][] {
  return [0, 3, 6].map((k) => [...m.subarray(k, k + 3)]);
}

function real(name: string, value: number, about: string): Constant {
  return { name: `PROP_${name}`, value: literal(value), about };
}

function whole(name: string, value: number): Constant {
  return { name: `PROP_${name}`, value: String(value), about: '' };
}

function matrix(name: string, values: readonly (readonly number[])[], about: string, cast = REAL): Constant {
  const text = values.map((line) => `{ ${line.map((v) => `${cast}${literal(v)}`).join(', ')} }`);
  return { name: `PROP_${name}`, value: `{ ${text.join(', ')} }`, about };
}

/** The shortest text that reads back as the same double, as a C constant; below 0 in brackets. */
export function literal(value: number): string {
  const text = String(value + 0);
  const real = /[.e]/.test(text) ? text : `${text}.0`;
  return value < 0 ? `(${real})` : real;
}
