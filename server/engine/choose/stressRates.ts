import type { Motion } from '../motion/motion.ts';
import { RAD_PER_DEG } from '../units.ts';
import { gaussianNoise } from './noise.ts';

/** Something that may differ from the day of the recording. */
export type StressName = 'scaleUp' | 'scaleDown' | 'mount' | 'bias' | 'halfRate' | 'noise';

export const STRESS_WORDS: Readonly<Record<StressName, string>> = {
  scaleUp: 'gyro reads 3 % more',
  scaleDown: 'gyro reads 3 % less',
  mount: 'mount off by 5°',
  bias: 'bias off by 2 °/s',
  halfRate: 'half the sample rate',
  noise: 'noise of 3 °/s added',
};

export const STRESS_NAMES = Object.keys(STRESS_WORDS) as readonly StressName[];

const SCALE = 0.03;
const MOUNT_DEG = 5;
const BIAS_DPS = 2;
/** On each axis, root mean square: ten times and more what a noisy sensor adds. */
const NOISE_DPS = 3;
const NOISE_SEED = 20;

export type Rates = Pick<
  Motion,
  'rateHz' | 'timeUs' | 'segments' | 'saturated' | 'trueSpeedDps' | 'gyroYDps' | 'gyroZDps'
>;

/** A take's rates under a stress, one for each variant of it (each direction of a mount error, say). */
export function ratesUnder(name: StressName, motion: Motion): readonly (() => Rates)[] {
  switch (name) {
    case 'scaleUp':
      return [() => scaled(motion, 1 + SCALE)];
    case 'scaleDown':
      return [() => scaled(motion, 1 - SCALE)];
    case 'mount':
      return [0, 90, 180, 270].map((aboutDeg) => () => tilted(motion, aboutDeg));
    case 'bias':
      return [0, 90, 180, 270].map((towardDeg) => () => shifted(motion, towardDeg));
    case 'halfRate':
      return [0, 1].map((first) => () => halved(motion, first));
    case 'noise':
      return [() => noisy(motion)];
  }
}

function scaled(motion: Motion, factor: number): Rates {
  return turned(motion, [0, 0, factor, 0], [0, 0, 0, factor]);
}

/** Turned about an axis across the blade, so that part of the twist reads as swing and the other way round. */
function tilted(motion: Motion, aboutDeg: number): Rates {
  const [sin, cos] = [Math.sin(MOUNT_DEG * RAD_PER_DEG), Math.cos(MOUNT_DEG * RAD_PER_DEG)];
  const [u, v] = [Math.cos(aboutDeg * RAD_PER_DEG), Math.sin(aboutDeg * RAD_PER_DEG)];
  const across = u * v * (1 - cos);
  // The last two rows of the rotation by MOUNT_DEG about (0, u, v), by Rodrigues.
  return turned(
    motion,
    [0, v * sin, cos + u * u * (1 - cos), across],
    [0, -u * sin, across, cos + v * v * (1 - cos)],
  );
}

function shifted(motion: Motion, towardDeg: number): Rates {
  const y0 = BIAS_DPS * Math.cos(towardDeg * RAD_PER_DEG);
  const z0 = BIAS_DPS * Math.sin(towardDeg * RAD_PER_DEG);
  return turned(motion, [y0, 0, 1, 0], [z0, 0, 0, 1]);
}

/** A constant and what of x, y and z goes into an axis. */
type Row = readonly [number, number, number, number];

function turned(motion: Motion, [y0, yx, yy, yz]: Row, [z0, zx, zy, zz]: Row): Rates {
  const { gyroXDps, gyroYDps, gyroZDps } = motion;
  const outY = new Float64Array(gyroYDps.length);
  const outZ = new Float64Array(gyroZDps.length);
  for (let i = 0; i < outY.length; ++i) {
    const x = gyroXDps[i]!;
    const y = gyroYDps[i]!;
    const z = gyroZDps[i]!;
    outY[i] = y0 + yx * x + yy * y + yz * z;
    outZ[i] = z0 + zx * x + zy * y + zz * z;
  }
  return { ...motion, gyroYDps: outY, gyroZDps: outZ };
}

function noisy(motion: Motion): Rates {
  const next = gaussianNoise(NOISE_SEED);
  const add = (rates: Float64Array) => rates.map((rate) => rate + NOISE_DPS * next());
  return { ...motion, gyroYDps: add(motion.gyroYDps), gyroZDps: add(motion.gyroZDps) };
}

/** Every second sample of each segment, from its first or second on: as a slower log would have caught them. */
function halved(motion: Motion, first: number): Rates {
  const kept = new Int32Array(motion.timeUs.length);
  let count = 0;
  const segments = motion.segments.flatMap(({ start, end }) => {
    const from = count;
    for (let i = start + first; i < end; i += 2) kept[count++] = i;
    return count > from ? [{ start: from, end: count }] : [];
  });
  const column = (values: Float64Array): Float64Array => {
    const out = new Float64Array(count);
    for (let k = 0; k < count; ++k) out[k] = values[kept[k]!]!;
    return out;
  };
  return {
    rateHz: motion.rateHz / 2,
    timeUs: column(motion.timeUs),
    segments,
    saturated: Uint8Array.from(kept.subarray(0, count), (i) => motion.saturated[i]!),
    trueSpeedDps: column(motion.trueSpeedDps),
    gyroYDps: column(motion.gyroYDps),
    gyroZDps: column(motion.gyroZDps),
  };
}
