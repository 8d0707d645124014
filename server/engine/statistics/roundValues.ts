/** The next 1, 2 or 5 times a power of ten. */
export function roundStep(raw: number): number {
  if (!(raw > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(raw));
  const part = raw / power;
  return power * (part <= 1 ? 1 : part <= 2 ? 2 : part <= 5 ? 5 : 10);
}

/** Multiples of a round step from low to high, about `most` of them. */
export function roundValues(low: number, high: number, most: number): number[] {
  if (!(high > low) || !(most > 0)) return [];
  const step = roundStep((high - low) / most);
  const values: number[] = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; ++k)
    values.push(Number((k * step).toPrecision(12)));
  return values;
}
