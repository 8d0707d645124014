/** The sum that defines the DFT, one bin at a time: slow and obvious. */
export function dftBin(x: ArrayLike<number>, k: number): { re: number; im: number } {
  let re = 0;
  let im = 0;
  for (let n = 0; n < x.length; ++n) {
    const phase = (2 * Math.PI * ((k * n) % x.length)) / x.length;
    re += x[n]! * Math.cos(phase);
    im -= x[n]! * Math.sin(phase);
  }
  return { re, im };
}

/** One-sided power density of one windowed block. */
export function blockDensity(x: ArrayLike<number>, window: ArrayLike<number>, sampleHz: number): number[] {
  const energy = Array.from(window).reduce((sum, w) => sum + w * w, 0);
  const windowed = Array.from(x, (value, n) => value * window[n]!);
  return Array.from({ length: x.length / 2 + 1 }, (_, k) => {
    const { re, im } = dftBin(windowed, k);
    const sides = k === 0 || k === x.length / 2 ? 1 : 2;
    return (sides * (re * re + im * im)) / (sampleHz * energy);
  });
}
