/** Two rising lists of samples, brought together in pairs. */
export interface Matched {
  /** How much later the second of each pair is, in samples. */
  readonly pairs: readonly { readonly first: number; readonly second: number }[];
  readonly firstOnly: readonly number[];
  readonly secondOnly: readonly number[];
}

/**
 * Pairs samples that lie no further apart than `reach`, as many as can be: of rising lists, whichever comes first is paired
 * with the first of the other that it reaches.
 */
export function matchSamples(first: readonly number[], second: readonly number[], reach: number): Matched {
  const pairs: { first: number; second: number }[] = [];
  const firstOnly: number[] = [];
  const secondOnly: number[] = [];
  let j = 0;
  for (const own of first) {
    while (j < second.length && second[j]! < own - reach) secondOnly.push(second[j++]!);
    if (j < second.length && second[j]! <= own + reach) pairs.push({ first: own, second: second[j++]! });
    else firstOnly.push(own);
  }
  return { pairs, firstOnly, secondOnly: [...secondOnly, ...second.slice(j)] };
}
