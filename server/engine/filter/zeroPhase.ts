import { Cascade } from './biquad.ts';
import { lowPassFromWarped, warped } from './butterworth.ts';

/** Two passes of order 2 are -3.0103 dB at fc if each is designed for tan(π fc / fs) / C. Winter, *Biomechanics* (cited from memory). */
const TWO_PASS_CORRECTION = (Math.SQRT2 - 1) ** 0.25;

/**
 * Low-pass forward and backward: no delay, so never causal. For finding the truth in a recording only.
 * The ends are continued by odd reflection, so that a ramp stays a ramp.
 * @param cutoffHz  -3.0103 dB after both passes, 0 < cutoffHz < sampleHz / 2.
 */
export function zeroPhaseLowPass(
  x: Float64Array,
  cutoffHz: number,
  sampleHz: number,
  out = new Float64Array(x.length),
): Float64Array {
  const n = x.length;
  if (n === 0) return out;
  const sections = lowPassFromWarped(warped(cutoffHz, sampleHz) / TWO_PASS_CORRECTION);
  const pad = Math.min(n - 1, Math.ceil((3 * sampleHz) / cutoffHz));
  const padded = new Float64Array(n + 2 * pad);
  padded.set(x, pad);
  for (let i = 1; i <= pad; ++i) {
    padded[pad - i] = 2 * x[0]! - x[i]!;
    padded[pad + n - 1 + i] = 2 * x[n - 1]! - x[n - 1 - i]!;
  }
  const filter = new Cascade(sections);
  filter.prime(padded[0]!);
  for (let i = 0; i < padded.length; ++i) padded[i] = filter.step(padded[i]!);
  filter.prime(padded[padded.length - 1]!);
  for (let i = padded.length - 1; i >= 0; --i) padded[i] = filter.step(padded[i]!);
  out.set(padded.subarray(pad, pad + n));
  return out;
}
