/** One axis of a small plot: from values to pixels. */
export interface Scale {
  readonly kind: 'linear' | 'log';
  readonly min: number;
  readonly max: number;
  /** Pixels of min and of max; the first may be the larger. */
  readonly from: number;
  readonly to: number;
}

export interface Tick {
  readonly at: number;
  readonly text: string;
}

/** NaN for what a logarithmic axis cannot show. */
export function place({ kind, min, max, from, to }: Scale, value: number): number {
  const part = kind === 'linear' ? (value - min) / (max - min) : Math.log(value / min) / Math.log(max / min);
  return from + part * (to - from);
}

/** Round values along the axis, at most about `most` of them. */
export function ticksOf(scale: Scale, most: number): Tick[] {
  return scale.kind === 'linear' ? linearTicks(scale, most) : decadeTicks(scale, most);
}

function linearTicks({ min, max }: Scale, most: number): Tick[] {
  const raw = (max - min) / most;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = power * (raw <= power ? 1 : raw <= 2 * power ? 2 : raw <= 5 * power ? 5 : 10);
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const ticks: Tick[] = [];
  for (let k = Math.ceil(min / step - 1e-9); k * step <= max + 1e-9 * step; ++k)
    ticks.push({ at: k * step, text: minus((k * step).toFixed(decimals)) });
  return ticks;
}

/** Powers of ten, with their 2 and 5 where there is room; fewer powers where there is none. */
function decadeTicks({ min, max }: Scale, most: number): Tick[] {
  const decades = Math.log10(max / min);
  const parts = decades * 3 <= most ? [1, 2, 5] : [1];
  const every = parts.length > 1 ? 1 : Math.max(1, Math.ceil(decades / most));
  const ticks: Tick[] = [];
  for (let power = Math.floor(Math.log10(min)); power <= Math.log10(max) + 1e-9; ++power) {
    if (power % every !== 0) continue;
    for (const part of parts) {
      const at = part * 10 ** power;
      if (at >= min * (1 - 1e-9) && at <= max * (1 + 1e-9)) ticks.push({ at, text: decimal(at, power) });
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

function minus(text: string): string {
  return text.replace('-', '−');
}

/** An SVG path through points; points that cannot be placed break it. */
export function linePath(x: Scale, y: Scale, points: readonly (readonly [number, number])[]): string {
  let path = '';
  let isDrawing = false;
  for (const [px, py] of points) {
    const [left, top] = [place(x, px), place(y, py)];
    if (!Number.isFinite(left) || !Number.isFinite(top)) {
      isDrawing = false;
      continue;
    }
    path += `${isDrawing ? 'L' : 'M'}${left.toFixed(1)} ${top.toFixed(1)}`;
    isDrawing = true;
  }
  return path;
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
