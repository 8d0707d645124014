import type { Section } from '../../server/engine/filter/biquad.ts';

/** Coefficients of a product of polynomials. */
export function convolve(p: readonly number[], q: readonly number[]): number[] {
  const out = new Array<number>(p.length + q.length - 1).fill(0);
  p.forEach((a, i) => {
    q.forEach((b, j) => {
      out[i + j]! += a * b;
    });
  });
  return out;
}

/** b and a of sections in series, written out as one fraction. */
export function expand(sections: readonly Section[]): { b: number[]; a: number[] } {
  let b = [1];
  let a = [1];
  for (const s of sections) {
    b = convolve(b, [s.b0, s.b1, s.b2]);
    a = convolve(a, [1, s.a1, s.a2]);
  }
  return { b, a };
}

/** The difference equation as it is printed: y[n] = Σ b_k x[n-k] - Σ a_k y[n-k], before the first sample `before`. */
export function differenceEquation(
  b: readonly number[],
  a: readonly number[],
  x: readonly number[],
  before = { x: 0, y: 0 },
): number[] {
  const y: number[] = [];
  for (let n = 0; n < x.length; ++n) {
    let sum = 0;
    for (let k = 0; k < b.length; ++k) sum += b[k]! * (n - k >= 0 ? x[n - k]! : before.x);
    for (let k = 1; k < a.length; ++k) sum -= a[k]! * (n - k >= 0 ? y[n - k]! : before.y);
    y.push(sum);
  }
  return y;
}

/** |H| by adding up Σ h[n] e^{-jωn} of a long impulse response. */
export function magnitudeOfResponse(h: readonly number[], partOfRate: number): number {
  let re = 0;
  let im = 0;
  h.forEach((value, n) => {
    re += value * Math.cos(2 * Math.PI * partOfRate * n);
    im -= value * Math.sin(2 * Math.PI * partOfRate * n);
  });
  return Math.hypot(re, im);
}

/**
 * Forward and backward with a copy that is padded by odd reflection at both ends; each pass starts as if its first value
 * had always been there.
 */
export function forwardBackward(
  b: readonly number[],
  a: readonly number[],
  x: readonly number[],
  pad: number,
): number[] {
  const last = x.length - 1;
  const head = Array.from({ length: pad }, (_, k) => 2 * x[0]! - x[pad - k]!);
  const tail = Array.from({ length: pad }, (_, k) => 2 * x[last]! - x[last - 1 - k]!);
  const pass = (v: readonly number[]) => differenceEquation(b, a, v, { x: v[0]!, y: v[0]! });
  const padded = [...head, ...x, ...tail];
  return pass(pass(padded).reverse())
    .reverse()
    .slice(pad, pad + x.length);
}
