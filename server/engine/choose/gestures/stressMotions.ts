import type { MotionColumns, Segment, UniformLog } from '../../base/log.ts';
import { turnColumns } from '../../base/mount.ts';
import { RAD_PER_DEG } from '../../base/units.ts';
import { DEFAULT_CALIBRATION } from '../../calibrate/calibration.ts';
import { computeMotion, type Motion } from '../../motion/motion.ts';
import { gaussianNoise } from '../noise.ts';
import { BIAS_DPS, MOUNT_DEG, NOISE_DPS, NOISE_SEED, type RateStress, SCALE } from '../stressRates.ts';
import type { GestureMapKind } from './maps.ts';

/** Something that may differ from the day of the recording. */
export type GestureStress = Exclude<RateStress, 'rateNoise'> | 'forceMore' | 'forceLess' | 'arm' | 'noise';

/** A twist rests on rates alone, and no turn of the sensor changes how strong a blow is. */
export const GESTURE_STRESSES: Readonly<Record<GestureMapKind, readonly GestureStress[]>> = {
  stab: ['gyroMore', 'gyroLess', 'forceMore', 'forceLess', 'mount', 'bias', 'arm', 'halfRate', 'noise'],
  impact: ['gyroMore', 'gyroLess', 'forceMore', 'forceLess', 'halfRate', 'noise'],
  twist: ['gyroMore', 'gyroLess', 'mount', 'bias', 'halfRate', 'noise'],
};

const ARM_M = 0.02;
/** On each axis, root mean square: ten times what a common sensor adds. */
const NOISE_G = 0.02;

/**
 * A take's whole motion as it would have been under a stress, one for each variant of it (each direction of a mount
 * error, say). Each is computed anew, from the sensor's side: gravity, thrust and rest follow.
 */
export function motionsUnder(
  name: GestureStress,
  motion: Motion,
  leverArmM: number,
): readonly (() => Motion)[] {
  const again = (columns: Partial<MotionColumns>, armM = leverArmM) =>
    computeMotion(asLog({ ...motion, ...columns }), {
      ...DEFAULT_CALIBRATION,
      bias: NO_BIAS,
      leverArmM: armM,
    });
  switch (name) {
    case 'gyroMore':
      return [() => again(scaled(motion, GYRO, 1 + SCALE))];
    case 'gyroLess':
      return [() => again(scaled(motion, GYRO, 1 - SCALE))];
    case 'forceMore':
      return [() => again(scaled(motion, FORCE, 1 + SCALE))];
    case 'forceLess':
      return [() => again(scaled(motion, FORCE, 1 - SCALE))];
    case 'mount':
      return [0, 90, 180, 270].map((aboutDeg) => () => again(tilted(motion, aboutDeg)));
    case 'bias':
      return BIASES.map((bias) => () => again(shifted(motion, bias)));
    case 'arm':
      return [-ARM_M, ARM_M].map((by) => () => again({}, leverArmM + by));
    case 'halfRate':
      return [0, 1].map((first) => () => {
        const halved = halfOf(motion, first);
        return computeMotion(halved, { ...DEFAULT_CALIBRATION, bias: NO_BIAS, leverArmM });
      });
    case 'noise':
      return [() => again(noisy(motion))];
  }
}

const NO_BIAS = { knots: [] };
const GYRO = ['gyroXDps', 'gyroYDps', 'gyroZDps'] as const;
const FORCE = ['accelXG', 'accelYG', 'accelZG'] as const;

/** About the blade both ways, for a twist adds it up; across it once each. */
const BIASES: readonly (readonly [number, number, number])[] = [
  [BIAS_DPS, 0, 0],
  [-BIAS_DPS, 0, 0],
  [0, BIAS_DPS, 0],
  [0, 0, BIAS_DPS],
];

type Columns = Omit<UniformLog, 'stepUs'>;

/** A motion's rates and forces as a log of a sensor that sits along the prop's axes and has no bias left. */
function asLog(columns: Columns): UniformLog {
  const { rateHz, timeUs, segments, saturated } = columns;
  const { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = columns;
  const motion = { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG };
  return { rateHz, stepUs: 1e6 / rateHz, timeUs, segments, saturated, ...motion };
}

function scaled(
  motion: Motion,
  names: readonly (keyof MotionColumns)[],
  factor: number,
): Partial<MotionColumns> {
  return changed(names, (name) => motion[name].map((value) => factor * value));
}

function shifted(motion: Motion, [x, y, z]: readonly [number, number, number]): Partial<MotionColumns> {
  const by = { gyroXDps: x, gyroYDps: y, gyroZDps: z };
  return changed(GYRO, (name) => motion[name].map((value) => value + by[name as keyof typeof by]));
}

/** Turned about an axis across the blade, so that part of the twist reads as swing, and of the thrust as force across. */
function tilted(motion: Motion, aboutDeg: number): MotionColumns {
  const [sin, cos] = [Math.sin(MOUNT_DEG * RAD_PER_DEG), Math.cos(MOUNT_DEG * RAD_PER_DEG)];
  const [u, v] = [Math.cos(aboutDeg * RAD_PER_DEG), Math.sin(aboutDeg * RAD_PER_DEG)];
  const across = u * v * (1 - cos);
  // The rotation by MOUNT_DEG about (0, u, v), by Rodrigues, row by row.
  const matrix = Float64Array.of(
    ...[cos, -v * sin, u * sin],
    ...[v * sin, cos + u * u * (1 - cos), across],
    ...[-u * sin, across, cos + v * v * (1 - cos)],
  );
  const { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = motion;
  const gyro = turnColumns(matrix, gyroXDps, gyroYDps, gyroZDps);
  const force = turnColumns(matrix, accelXG, accelYG, accelZG);
  return {
    gyroXDps: gyro[0],
    gyroYDps: gyro[1],
    gyroZDps: gyro[2],
    accelXG: force[0],
    accelYG: force[1],
    accelZG: force[2],
  };
}

function noisy(motion: Motion): Partial<MotionColumns> {
  const next = gaussianNoise(NOISE_SEED);
  return {
    ...changed(GYRO, (name) => motion[name].map((value) => value + NOISE_DPS * next())),
    ...changed(FORCE, (name) => motion[name].map((value) => value + NOISE_G * next())),
  };
}

/** Every second sample of each segment, from its first or second on: as a slower log would have caught them. */
function halfOf(motion: Motion, first: number): UniformLog {
  const kept: number[] = [];
  const segments: Segment[] = [];
  for (const { start, end } of motion.segments) {
    const from = kept.length;
    for (let i = start + first; i < end; i += 2) kept.push(i);
    if (kept.length > from) segments.push({ start: from, end: kept.length });
  }
  const half = (values: Float64Array) => Float64Array.from(kept, (i) => values[i]!);
  const columns = changed([...GYRO, ...FORCE], (name) => half(motion[name])) as MotionColumns;
  const saturated = Uint8Array.from(kept, (i) => motion.saturated[i]!);
  return asLog({
    rateHz: motion.rateHz / 2,
    timeUs: half(motion.timeUs),
    segments,
    saturated,
    ...columns,
  });
}

function changed(
  names: readonly (keyof MotionColumns)[],
  of: (name: keyof MotionColumns) => Float64Array,
): Partial<MotionColumns> {
  return Object.fromEntries(names.map((name) => [name, of(name)]));
}
