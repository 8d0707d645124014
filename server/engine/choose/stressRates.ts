import type { Segment } from '../base/log.ts';
import { Scratch } from '../base/scratch.ts';
import { RAD_PER_DEG } from '../base/units.ts';
import type { SmoothingSettings } from '../filter/smoothing.ts';
import type { RateMotion } from '../motion/motion.ts';
import { computeSpeedSignals, type SpeedSignals } from '../motion/signals.ts';
import { gaussianNoise } from './noise.ts';

/** Something that may differ from the day of the recording. */
export type RateStress = 'gyroMore' | 'gyroLess' | 'mount' | 'bias' | 'halfRate' | 'rateNoise';

export const RATE_STRESSES: readonly RateStress[] = [
  'gyroMore',
  'gyroLess',
  'mount',
  'bias',
  'halfRate',
  'rateNoise',
];

export const SCALE = 0.03;
export const MOUNT_DEG = 5;
export const BIAS_DPS = 2;
/** On each axis, root mean square: ten times and more what a noisy sensor adds. */
export const NOISE_DPS = 3;
export const NOISE_SEED = 20;

export type Rates = Pick<
  RateMotion,
  'rateHz' | 'timeUs' | 'segments' | 'saturated' | 'trueSpeedDps' | 'gyroYDps' | 'gyroZDps'
>;

/** A take's speed signals under a stress, one for each variant of it, see `ratesUnder`. */
export function signalsUnder(
  stress: string,
  { motion }: { readonly motion: RateMotion },
  smoothing: SmoothingSettings,
): readonly (() => SpeedSignals)[] {
  const scratch = new Scratch();
  return ratesUnder(stress as RateStress, motion, scratch).map((ratesOf) => () => {
    const rates = ratesOf();
    return computeSpeedSignals(rates, smoothing, scratch.column('speed', rates.timeUs.length));
  });
}

/**
 * A take's rates under a stress, one for each variant of it (each direction of a mount error, say). Calling one
 * overwrites what the one before has given.
 */
function ratesUnder(name: RateStress, motion: RateMotion, scratch = new Scratch()): readonly (() => Rates)[] {
  switch (name) {
    case 'gyroMore':
      return [() => scaled(motion, 1 + SCALE, scratch)];
    case 'gyroLess':
      return [() => scaled(motion, 1 - SCALE, scratch)];
    case 'mount':
      return [0, 90, 180, 270].map((aboutDeg) => () => tilted(motion, aboutDeg, scratch));
    case 'bias':
      return [0, 90, 180, 270].map((towardDeg) => () => shifted(motion, towardDeg, scratch));
    case 'halfRate':
      return [0, 1].map((first) => () => halved(motion, first, scratch));
    case 'rateNoise':
      return [() => noisy(motion, scratch)];
  }
}

function scaled(motion: RateMotion, factor: number, scratch: Scratch): Rates {
  return turned(motion, [0, 0, factor, 0], [0, 0, 0, factor], scratch);
}

/** Turned about an axis across the blade, so that part of the twist reads as swing and the other way round. */
function tilted(motion: RateMotion, aboutDeg: number, scratch: Scratch): Rates {
  const [sin, cos] = [Math.sin(MOUNT_DEG * RAD_PER_DEG), Math.cos(MOUNT_DEG * RAD_PER_DEG)];
  const [u, v] = [Math.cos(aboutDeg * RAD_PER_DEG), Math.sin(aboutDeg * RAD_PER_DEG)];
  const across = u * v * (1 - cos);
  // The last two rows of the rotation by MOUNT_DEG about (0, u, v), by Rodrigues.
  return turned(
    motion,
    [0, v * sin, cos + u * u * (1 - cos), across],
    [0, -u * sin, across, cos + v * v * (1 - cos)],
    scratch,
  );
}

function shifted(motion: RateMotion, towardDeg: number, scratch: Scratch): Rates {
  const y0 = BIAS_DPS * Math.cos(towardDeg * RAD_PER_DEG);
  const z0 = BIAS_DPS * Math.sin(towardDeg * RAD_PER_DEG);
  return turned(motion, [y0, 0, 1, 0], [z0, 0, 0, 1], scratch);
}

/** A constant and what of x, y and z goes into an axis. */
type Row = readonly [number, number, number, number];

function turned(motion: RateMotion, [y0, yx, yy, yz]: Row, [z0, zx, zy, zz]: Row, scratch: Scratch): Rates {
  const { gyroXDps, gyroYDps, gyroZDps } = motion;
  const outY = scratch.column('gyroYDps', gyroYDps.length);
  const outZ = scratch.column('gyroZDps', gyroZDps.length);
  for (let i = 0; i < outY.length; ++i) {
    const x = gyroXDps[i]!;
    const y = gyroYDps[i]!;
    const z = gyroZDps[i]!;
    outY[i] = y0 + yx * x + yy * y + yz * z;
    outZ[i] = z0 + zx * x + zy * y + zz * z;
  }
  return { ...motion, gyroYDps: outY, gyroZDps: outZ };
}

function noisy(motion: RateMotion, scratch: Scratch): Rates {
  const next = gaussianNoise(NOISE_SEED);
  const add = (name: 'gyroYDps' | 'gyroZDps'): Float64Array => {
    const rates = motion[name];
    const out = scratch.column(name, rates.length);
    for (let i = 0; i < out.length; ++i) out[i] = rates[i]! + NOISE_DPS * next();
    return out;
  };
  return { ...motion, gyroYDps: add('gyroYDps'), gyroZDps: add('gyroZDps') };
}

/** Every second sample of each segment, from its first or second on: as a slower log would have caught them. */
function halved(motion: RateMotion, first: number, scratch: Scratch): Rates {
  const segments: Segment[] = [];
  let count = 0;
  for (const { start, end } of motion.segments) {
    const from = count;
    count += Math.max(0, Math.ceil((end - start - first) / 2));
    if (count > from) segments.push({ start: from, end: count });
  }
  const halve = <Column extends Float64Array | Uint8Array>(values: Column, out: Column): Column => {
    let k = 0;
    for (const { start, end } of motion.segments)
      for (let i = start + first; i < end; i += 2) out[k++] = values[i]!;
    return out;
  };
  const column = (name: 'timeUs' | 'trueSpeedDps' | 'gyroYDps' | 'gyroZDps'): Float64Array =>
    halve(motion[name], scratch.column(name, count));
  return {
    rateHz: motion.rateHz / 2,
    timeUs: column('timeUs'),
    segments,
    saturated: halve(motion.saturated, new Uint8Array(count)),
    trueSpeedDps: column('trueSpeedDps'),
    gyroYDps: column('gyroYDps'),
    gyroZDps: column('gyroZDps'),
  };
}
