import { Cascade } from './biquad.ts';
import { lowPassFromWarped, warped } from './butterworth.ts';

/** Periods of the cutoff after which a pass has forgotten its start to 1e-6, by order. */
const PAD_PERIODS = { 1: 3, 2: 3, 4: 7 } as const;

/**
 * Butterworth low-pass, forward and backward: no delay, so never causal. For finding the truth in a recording only.
 * The ends are continued by odd reflection, so that a ramp stays a ramp.
 * @param order  of each pass.
 * @param cutoffHz  -3.0103 dB after both passes, 0 < cutoffHz < sampleHz / 2.
 * @param out  may be x itself.
 * Source: each pass is designed for tan(π fc / fs) / C with C = (√2 - 1)^(1 / 2 order), 0.802 for order 2: Winter,
 * *Biomechanics and Motor Control of Human Movement* (cited from memory).
 */
export function zeroPhaseLowPass(
  x: Float64Array,
  order: 1 | 2 | 4,
  cutoffHz: number,
  sampleHz: number,
  out: Float64Array = new Float64Array(x.length),
): Float64Array {
  const n = x.length;
  const correction = (Math.SQRT2 - 1) ** (0.5 / order);
  const filter = new Cascade(lowPassFromWarped(order, warped(cutoffHz, sampleHz) / correction));
  if (n === 0) return out;
  const pad = Math.min(n - 1, Math.ceil((PAD_PERIODS[order] * sampleHz) / cutoffHz));
  const tail = reflectedTail(x, pad);
  filter.prime(2 * x[0]! - x[pad]!);
  for (let i = pad; i >= 1; --i) filter.step(2 * x[0]! - x[i]!);
  const y = out.subarray(0, n);
  filter.run(x, y);
  filter.run(tail, tail);
  filter.prime(pad > 0 ? tail[pad - 1]! : y[n - 1]!);
  for (let i = pad - 1; i >= 0; --i) filter.step(tail[i]!);
  y.reverse();
  filter.run(y, y);
  y.reverse();
  return out;
}

/** The odd reflection behind the last sample. */
function reflectedTail(x: Float64Array, pad: number): Float64Array {
  const tail = new Float64Array(pad);
  const last = x.length - 1;
  for (let i = 0; i < pad; ++i) tail[i] = 2 * x[last]! - x[last - 1 - i]!;
  return tail;
}
