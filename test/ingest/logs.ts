import type { LogSource } from '../../server/ingest/ground/types.ts';
import { seededNormal } from '../seeded.ts';

/** Text or bytes as a source, handed out in chunks of `chunkBytes`. */
export function textSource(content: string | Uint8Array, name = 'take.csv', chunkBytes = 1 << 16): LogSource {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  return {
    name,
    sizeBytes: bytes.length,
    async *open() {
      for (let from = 0; from < bytes.length; from += chunkBytes)
        yield bytes.subarray(from, from + chunkBytes);
    },
  };
}

/** One invented sample: seconds, deg/s, g. */
export interface Sample {
  readonly t: number;
  readonly gyro: readonly [number, number, number];
  readonly accel: readonly [number, number, number];
}

/**
 * A sensor that rests for a second and then rolls about x to 90 degrees and back, again and again, 71 deg/s at most:
 * gravity turns in y and z just as the rates say. A little noise, a bias of 0.5 deg/s on x.
 */
export function rollingTake(rows: number, rateHz: number, seed = 1): Sample[] {
  const normal = seededNormal(seed);
  return Array.from({ length: rows }, (_, i) => {
    const t = i / rateHz;
    const phase = t < 1 ? 0 : 2 * Math.PI * 0.25 * (t - 1);
    const roll = (Math.PI / 4) * (1 - Math.cos(phase));
    const rate = t < 1 ? 0 : 45 * 2 * Math.PI * 0.25 * Math.sin(phase);
    const noise = (size: number) => size * normal();
    return {
      t,
      gyro: [0.5 + rate + noise(0.05), noise(0.05), noise(0.05)] as const,
      accel: [noise(0.002), Math.sin(roll) + noise(0.002), Math.cos(roll) + noise(0.002)] as const,
    };
  });
}

/** Rows as text, one function a column. */
export function rowsOf(
  samples: readonly Sample[],
  columns: readonly ((sample: Sample, i: number) => string | number)[],
  delimiter = ',',
  lineEnd = '\n',
): string {
  return samples
    .map((sample, i) => columns.map((column) => column(sample, i)).join(delimiter) + lineEnd)
    .join('');
}

/** Columns in the usual units, six decimals at most. */
export const gyro =
  (axis: 0 | 1 | 2, scale = 1, digits = 4) =>
  (s: Sample) =>
    (s.gyro[axis] * scale).toFixed(digits);
export const accel =
  (axis: 0 | 1 | 2, scale = 1, digits = 5) =>
  (s: Sample) =>
    (s.accel[axis] * scale).toFixed(digits);
export const time =
  (scale = 1, digits = 4) =>
  (s: Sample) =>
    (s.t * scale).toFixed(digits);
export const SIX = [gyro(0), gyro(1), gyro(2), accel(0), accel(1), accel(2)] as const;

/** A g in m/s², and a degree in rad. */
export const G = 9.80665;
export const RAD = Math.PI / 180;

/** The axes of a sensor in m/s² and in rad/s. */
export const FORCES = [accel(0, G), accel(1, G), accel(2, G)] as const;
export const RATES = [gyro(0, RAD, 6), gyro(1, RAD, 6), gyro(2, RAD, 6)] as const;

/** The three axes of a sensor in codes, so many to a g or to a deg/s. */
export const codes = (of: 'accel' | 'gyro', scale: number) =>
  ([0, 1, 2] as const).map((axis) => (s: Sample) => Math.round(s[of][axis] * scale));
