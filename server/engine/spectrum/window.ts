/** Windows that are sums of cosines. */
export type WindowKind = 'rectangle' | 'hann' | 'hamming' | 'blackman' | 'blackmanHarris' | 'flatTop';

/** a0, a1, ... of w[n] = Σ (-1)^k a_k cos(2πkn / N). */
const COSINES: Readonly<Record<WindowKind, readonly number[]>> = {
  rectangle: [1],
  hann: [0.5, 0.5],
  hamming: [0.54, 0.46],
  blackman: [0.42, 0.5, 0.08],
  blackmanHarris: [0.35875, 0.48829, 0.14128, 0.01168],
  flatTop: [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368],
};

/**
 * A periodic window: its next sample would be its first again, which is what a DFT takes it for.
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

/** Mean of a window: what is left of a steady value. */
export function coherentGain(window: Float64Array): number {
  let sum = 0;
  for (const w of window) sum += w;
  return sum / window.length;
}

/** Equivalent noise bandwidth in bins: N Σw² / (Σw)²; 1 for the rectangle, 1.5 for Hann. */
export function noiseBandwidthBins(window: Float64Array): number {
  let squares = 0;
  for (const w of window) squares += w * w;
  const gain = coherentGain(window);
  return squares / (window.length * gain * gain);
}

/** What a tone half way between two bins loses, in dB (negative). */
export function scallopingDb(window: Float64Array): number {
  let re = 0;
  let im = 0;
  for (let n = 0; n < window.length; ++n) {
    re += window[n]! * Math.cos((Math.PI * n) / window.length);
    im += window[n]! * Math.sin((Math.PI * n) / window.length);
  }
  return 20 * Math.log10(Math.sqrt(re * re + im * im) / (window.length * coherentGain(window)));
}
