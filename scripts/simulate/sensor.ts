import type { AxisName, Vec3 } from './mounting.ts';
import { seededNormal } from './random.ts';

/** How one three-axis channel errs. The unit is the channel's own: deg/s or g. */
export interface ChannelModel {
  /** Sensor frame, at the start of the take. */
  readonly bias: readonly [number, number, number];
  /** Change of the bias over a minute, on every axis. */
  readonly driftPerMin: number;
  /** Per root hertz; a sample's standard deviation is this times the root of the rate. */
  readonly noiseDensity: number;
  /** -3 dB corner of the sensor's own second-order low-pass; null for none. */
  readonly bandwidthHz: number | null;
  /** What of its own axis each axis reads too much, as a share of it. */
  readonly scaleError?: readonly [number, number, number];
  /** What each axis reads of each of the other two, as a share of it. */
  readonly crossAxis?: number;
  /** How long after the other channel this one is read; below 0, before it. */
  readonly delayMs?: number;
  /** A bias that comes as the sensor warms up: it grows to `rise` on every axis, to 1 - 1/e of it in `timeS`. */
  readonly warmUp?: { readonly rise: number; readonly timeS: number };
  /** Codes per unit of a 16-bit converter; null reads without steps or ends. */
  readonly codesPerUnit: number | null;
}

export interface SensorModel {
  readonly name: string;
  /** From the turning point to the sensor, prop frame. */
  readonly leverArmM: readonly [number, number, number];
  /** The sensor axes that point to the tip and to the prop's +y. */
  readonly mount: { readonly tip: AxisName; readonly side: AxisName };
  readonly gyro: ChannelModel;
  readonly accel: ChannelModel;
}

const CLEAN: ChannelModel = {
  bias: [0, 0, 0],
  driftPerMin: 0,
  noiseDensity: 0,
  bandwidthHz: null,
  codesPerUnit: null,
};

/** A sensor without faults at the given lever arm, its axes those of the prop. */
export function idealSensor(leverArmM: readonly [number, number, number]): SensorModel {
  return { name: 'ideal sensor', leverArmM, mount: { tip: '+x', side: '+y' }, gyro: CLEAN, accel: CLEAN };
}

/**
 * What the channel reads of one axis, sample by sample: bias, noise, steps and ends added to `trueValue`, which is
 * changed in place. Steps: round to the nearest code, ends at -32768 and 32767.
 * Source of the noise's scale: N = s / sqrt(rate), IEEE Std 952 (angle random walk of white noise).
 */
export function readAxis(
  trueValue: Float64Array,
  axis: 0 | 1 | 2,
  model: ChannelModel,
  rateHz: number,
  seed: number,
): Float64Array {
  const normal = seededNormal(seed);
  const deviation = model.noiseDensity * Math.sqrt(rateHz);
  const driftPerSample = model.driftPerMin / (60 * rateHz);
  for (let i = 0; i < trueValue.length; ++i) {
    const noise = deviation > 0 ? deviation * normal() : 0;
    const value = trueValue[i]! + model.bias[axis] + driftPerSample * i + noise + warmUpAt(model, i / rateHz);
    trueValue[i] =
      model.codesPerUnit === null ? value : toCode(value * model.codesPerUnit) / model.codesPerUnit;
  }
  return trueValue;
}

/** The bias of one axis at a moment of the take, counted from its start. */
export function biasAt(model: ChannelModel, axis: 0 | 1 | 2, tS: number): number {
  return model.bias[axis] + (model.driftPerMin / 60) * tS + warmUpAt(model, tS);
}

function warmUpAt({ warmUp }: ChannelModel, tS: number): number {
  return warmUp === undefined ? 0 : warmUp.rise * (1 - Math.exp(-tS / warmUp.timeS));
}

/** Axis `axis` of what the channel reads of a motion whose own axes are `rows`, scale and cross-axis errors included. */
export function erringRow(
  rows: readonly [Vec3, Vec3, Vec3],
  axis: 0 | 1 | 2,
  { scaleError, crossAxis }: ChannelModel,
): Vec3 {
  if (scaleError === undefined && crossAxis === undefined) return rows[axis];
  const part = (k: 0 | 1 | 2) => (k === axis ? 1 + (scaleError?.[axis] ?? 0) : (crossAxis ?? 0));
  const along = (j: 0 | 1 | 2) => part(0) * rows[0][j] + part(1) * rows[1][j] + part(2) * rows[2][j];
  return [along(0), along(1), along(2)];
}

function toCode(value: number): number {
  return Math.min(32767, Math.max(-32768, Math.round(value)));
}

/**
 * Second-order Butterworth low-pass in place, at rest on the first value. A plain direct form, kept apart from the
 * engine's filters so that a fault there cannot hide here.
 * Source: W3C Audio EQ Cookbook, low-pass with Q = 1/sqrt 2.
 */
export function limitBandwidth(x: Float64Array, cutoffHz: number, hz: number): Float64Array {
  const w = (2 * Math.PI * cutoffHz) / hz;
  const alpha = Math.sin(w) / Math.SQRT2;
  const a0 = 1 + alpha;
  const b0 = (1 - Math.cos(w)) / 2 / a0;
  const a1 = (-2 * Math.cos(w)) / a0;
  const a2 = (1 - alpha) / a0;
  let [x1, x2, y1, y2] = [x[0]!, x[0]!, x[0]!, x[0]!];
  for (let i = 0; i < x.length; ++i) {
    const y = b0 * (x[i]! + 2 * x1 + x2) - a1 * y1 - a2 * y2;
    x2 = x1;
    x1 = x[i]!;
    y2 = y1;
    y1 = y;
    x[i] = y;
  }
  return x;
}
