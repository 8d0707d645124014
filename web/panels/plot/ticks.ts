/** Round values within a range, about `count` of them: steps of 1, 2 or 5 times a power of ten. */
export function ticksIn(low: number, high: number, count: number): number[] {
  if (!(high > low) || !(count > 0)) return [];
  const rough = (high - low) / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((part) => part * power).find((one) => one >= rough * 0.999) ?? 10 * power;
  const ticks: number[] = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + step * 1e-9; ++k)
    ticks.push(Number((k * step).toPrecision(12)));
  return ticks;
}

/** A scale from values to pixels; `from` and `to` may run either way. */
export interface Scale {
  (value: number): number;
  /** The value at a pixel. */
  invert(pixel: number): number;
}

export function linearScale(low: number, high: number, from: number, to: number): Scale {
  const per = (to - from) / (high - low);
  return Object.assign((value: number) => from + (value - low) * per, {
    invert: (pixel: number) => low + (pixel - from) / per,
  });
}
