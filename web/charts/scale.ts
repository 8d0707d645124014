import { roundValues } from '../../server/engine/statistics/roundValues.ts';
import { fixed } from '../../server/engine/words/count.ts';

/** One axis of a plot: from values to pixels. */
export interface Scale {
  /** NaN or infinite for what a logarithmic axis cannot show. */
  (value: number): number;
  /** The value at a pixel. */
  invert(pixel: number): number;
  readonly kind: 'linear' | 'log';
  readonly low: number;
  readonly high: number;
  /** Pixels of low and of high; the first may be the larger. */
  readonly from: number;
  readonly to: number;
}

export function scaleOf(
  kind: Scale['kind'],
  [low, high]: readonly [number, number],
  from: number,
  to: number,
): Scale {
  const isLog = kind === 'log';
  const length = isLog ? Math.log(high / low) : high - low;
  const part = (value: number) => (isLog ? Math.log(value / low) : value - low) / length;
  const invert = (pixel: number): number => {
    const along = ((pixel - from) / (to - from)) * length;
    return isLog ? low * Math.exp(along) : low + along;
  };
  const scale = (value: number) => from + part(value) * (to - from);
  return Object.assign(scale, { invert, kind, low, high, from, to });
}

export interface Tick {
  readonly at: number;
  readonly text: string;
}

/** Round values along an axis, at most about `most` of them, each with as many decimals as the step needs. */
export function ticksOf({ kind, low, high }: Pick<Scale, 'kind' | 'low' | 'high'>, most: number): Tick[] {
  if (kind === 'log') return decadeTicks(low, high, most);
  const values = roundValues(low, high, most);
  const step = values.length > 1 ? values[1]! - values[0]! : 1;
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return values.map((at) => ({ at, text: fixed(at, decimals) }));
}

/** Powers of ten, with their 2 and 5 where there is room; fewer powers where there is none. */
function decadeTicks(low: number, high: number, most: number): Tick[] {
  const decades = Math.log10(high / low);
  const parts = decades * 3 <= most ? [1, 2, 5] : [1];
  const every = parts.length > 1 ? 1 : Math.max(1, Math.ceil(decades / most));
  const ticks: Tick[] = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.log10(high) + 1e-9; ++power) {
    if (power % every !== 0) continue;
    for (const part of parts) {
      const at = part * 10 ** power;
      if (at >= low * (1 - 1e-9) && at <= high * (1 + 1e-9)) ticks.push({ at, text: decimal(at, power) });
    }
  }
  return ticks;
}

const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹';

function decimal(value: number, power: number): string {
  if (power >= -3 && power <= 4) return value.toFixed(Math.max(0, -power));
  const digits = [...String(Math.abs(power))].map((digit) => SUPERSCRIPTS[Number(digit)]).join('');
  return `10${power < 0 ? '⁻' : ''}${digits}`;
}

/** The two axes of a plot. */
export interface Scales {
  readonly x: Scale;
  readonly y: Scale;
}

/** Scales in pixels from the plot's upper left corner. */
export interface PlotArea extends Scales {
  readonly width: number;
  readonly height: number;
}

export type Point = readonly [number, number];

/** An SVG path through points; points that cannot be placed break it. */
export function linePath({ x, y }: Scales, points: Iterable<Point>): string {
  let path = '';
  let isDrawing = false;
  for (const [px, py] of points) {
    const [left, top] = [x(px), y(py)];
    if (!Number.isFinite(left) || !Number.isFinite(top)) {
      isDrawing = false;
      continue;
    }
    path += `${isDrawing ? 'L' : 'M'}${left.toFixed(1)} ${top.toFixed(1)}`;
    isDrawing = true;
  }
  return path;
}

/** An SVG path in steps: each value holds until the next point. Empty without points. */
export function stepPath(
  { x, y }: { x(value: number): number; y(value: number): number },
  points: readonly Point[],
): string {
  return points
    .map(([px, py], i) =>
      i === 0 ? `M${x(px).toFixed(1)} ${y(py).toFixed(1)}` : `H${x(px).toFixed(1)}V${y(py).toFixed(1)}`,
    )
    .join('');
}

/**
 * A little more than the range of values; [0, 1] where there are none.
 * @param isWhole  on a logarithmic axis: widened to whole powers of ten
 */
export function rangeOf(values: Iterable<number>, kind: Scale['kind'], isWhole = true): [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (!Number.isFinite(value) || (kind === 'log' && value <= 0)) continue;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (!(low <= high)) return kind === 'log' ? [0.1, 1] : [0, 1];
  if (kind === 'log' && !isWhole) return [low / 1.15, high * 1.15];
  if (kind === 'log') return [10 ** Math.floor(Math.log10(low)), 10 ** (Math.floor(Math.log10(high)) + 1)];
  const pad = (high - low || Math.abs(high) || 1) * 0.06;
  return [low - pad, high + pad];
}
