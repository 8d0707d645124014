import type { MotionColumns, Segment } from '../base/log.ts';
import { IDENTITY_MOUNT, mountMatrix, turnedColumn } from '../base/mount.ts';
import { RAD_PER_DEG } from '../base/units.ts';
import type { RateMotion } from '../motion/motion.ts';
import { gaussianNoise } from './noise.ts';

const SCALE = 0.03;
const MOUNT_DEG = 5;
const BIAS_DPS = 2;
/** On each axis, root mean square: ten times and more what a common sensor adds. */
const [NOISE_DPS, NOISE_G] = [3, 0.02];
const NOISE_SEED = 20;

/** What may read otherwise than on the day of the recording, sample by sample. */
export type ColumnStress =
  | 'gyroMore'
  | 'gyroLess'
  | 'forceMore'
  | 'forceLess'
  | 'mount'
  | 'bias'
  | 'noise'
  | 'rateNoise';

type Column = keyof MotionColumns;
type Sensed = RateMotion & Partial<MotionColumns>;
/** Writes a column as it would have been. */
type Write = (name: Column, out: Float64Array) => void;
/** Where a column of so many values is written. */
type Room = (name: string, length: number) => Float64Array;

/**
 * The named columns of a motion under a stress, one for each variant of it (each direction of a mount error, say); all
 * else stays.
 * @param biases  the directions in which a bias is tried, prop frame.
 */
export function stressed<Motion extends Sensed, Name extends Column>(
  stress: ColumnStress,
  motion: Motion,
  names: readonly Name[],
  biases: readonly (readonly number[])[],
  room: Room,
): readonly (() => Motion)[] {
  return writersOf(stress, motion, biases).map((begin) => () => {
    const write = begin();
    const columns = names.map((name) => {
      const out = room(name, motion.timeUs.length);
      write(name, out);
      return [name, out];
    });
    return { ...motion, ...Object.fromEntries(columns) };
  });
}

function writersOf(
  stress: ColumnStress,
  motion: Sensed,
  biases: readonly (readonly number[])[],
): readonly (() => Write)[] {
  switch (stress) {
    case 'gyroMore':
      return [() => scaled(motion, 'gyro', 1 + SCALE)];
    case 'gyroLess':
      return [() => scaled(motion, 'gyro', 1 - SCALE)];
    case 'forceMore':
      return [() => scaled(motion, 'accel', 1 + SCALE)];
    case 'forceLess':
      return [() => scaled(motion, 'accel', 1 - SCALE)];
    case 'mount':
      return [0, 90, 180, 270].map((aboutDeg) => () => turned(motion, tilt(aboutDeg)));
    case 'bias':
      return biases.map((toward) => () => shifted(motion, toward));
    case 'noise':
    case 'rateNoise':
      return [() => noisy(motion)];
  }
}

const isGyro = (name: Column): boolean => name.startsWith('gyro');
const axisOf = (name: Column): number => 'XYZ'.indexOf(name.replace(/^gyro|^accel/, '')[0]!);

function scaled(motion: Sensed, sensor: 'gyro' | 'accel', factor: number): Write {
  return (name, out) => {
    const values = motion[name]!;
    const by = name.startsWith(sensor) ? factor : 1;
    for (let i = 0; i < out.length; ++i) out[i] = by * values[i]!;
  };
}

function shifted(motion: Sensed, toward: readonly number[]): Write {
  return (name, out) => {
    const values = motion[name]!;
    const by = isGyro(name) ? BIAS_DPS * toward[axisOf(name)]! : 0;
    for (let i = 0; i < out.length; ++i) out[i] = values[i]! + by;
  };
}

function turned(motion: Sensed, matrix: Float64Array): Write {
  const { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = motion;
  return (name, out) => {
    if (isGyro(name)) turnedColumn(matrix, axisOf(name), gyroXDps, gyroYDps, gyroZDps, out);
    else turnedColumn(matrix, axisOf(name), accelXG!, accelYG!, accelZG!, out);
  };
}

/** About an axis across the blade, so that part of the twist reads as swing, and of the thrust as force across. */
function tilt(aboutDeg: number): Float64Array {
  const aboutRad = aboutDeg * RAD_PER_DEG;
  const correctionDeg = [0, MOUNT_DEG * Math.cos(aboutRad), MOUNT_DEG * Math.sin(aboutRad)] as const;
  return mountMatrix({ ...IDENTITY_MOUNT, correctionDeg });
}

/** One noise runs on from column to column. */
function noisy(motion: Sensed): Write {
  const next = gaussianNoise(NOISE_SEED);
  return (name, out) => {
    const values = motion[name]!;
    const rms = isGyro(name) ? NOISE_DPS : NOISE_G;
    for (let i = 0; i < out.length; ++i) out[i] = values[i]! + rms * next();
  };
}

/** Every second sample of each segment, from its first or second on: as a slower log would have caught them. */
export function atHalfRate<Name extends Column | 'trueSpeedDps'>(
  motion: RateMotion & Readonly<Record<Name, Float64Array>>,
  names: readonly Name[],
  first: number,
  room: Room,
) {
  const segments: Segment[] = [];
  let count = 0;
  for (const { start, end } of motion.segments) {
    const from = count;
    count += Math.max(0, Math.ceil((end - start - first) / 2));
    if (count > from) segments.push({ start: from, end: count });
  }
  const halve = <Values extends Float64Array | Uint8Array>(values: Values, out: Values): Values => {
    let k = 0;
    for (const { start, end } of motion.segments)
      for (let i = start + first; i < end; i += 2) out[k++] = values[i]!;
    return out;
  };
  const columns = names.map((name) => [name, halve(motion[name], room(name, count))]);
  return {
    rateHz: motion.rateHz / 2,
    timeUs: halve(motion.timeUs, room('timeUs', count)),
    segments,
    saturated: halve(motion.saturated, new Uint8Array(count)),
    ...(Object.fromEntries(columns) as Readonly<Record<Name, Float64Array>>),
  };
}
