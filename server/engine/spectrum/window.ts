/** Windows that are sums of cosines. */
export type WindowKind = 'rectangle' | 'hann' | 'flatTop';

/** a0, a1, ... of w[n] = Σ (-1)^k a_k cos(2πkn / N). */
const COSINES: Readonly<Record<WindowKind, readonly number[]>> = {
  rectangle: [1],
  hann: [0.5, 0.5],
  flatTop: [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368],
};

/**
 * A periodic window: its next sample would be its first again, as a DFT assumes.
 * @throws RangeError  unless length is a whole number above 0.
 * Source: F. J. Harris, Proc. IEEE 66(1), 1978 (place cited from memory).
 */
export function makeWindow(kind: WindowKind, length: number): Float64Array {
  if (!(Number.isInteger(length) && length > 0))
    throw new RangeError(`a window's length must be a whole number above 0, got ${length}`);
  const out = new Float64Array(length);
  COSINES[kind].forEach((a, k) => {
    const signed = k % 2 === 0 ? a : -a;
    for (let n = 0; n < length; ++n) out[n] = out[n]! + signed * Math.cos((2 * Math.PI * k * n) / length);
  });
  return out;
}
