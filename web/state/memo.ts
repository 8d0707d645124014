/** `compute` that keeps its last result and gives it again while every argument is the same object or value. */
export function lastResult<Args extends readonly unknown[], Result>(
  compute: (...args: Args) => Result,
): (...args: Args) => Result {
  let kept: { args: Args; result: Result } | null = null;
  return (...args) => {
    if (!kept || args.some((arg, i) => arg !== kept?.args[i])) kept = { args, result: compute(...args) };
    return kept.result;
  };
}

/** As `lastResult`, for the last `count` pairs of owner and key. */
export function lastResults<Owner, Rest, Result>(
  count: number,
  compute: (owner: Owner, key: string, rest: Rest) => Result,
): (owner: Owner, key: string, rest: Rest) => Result {
  const kept: { owner: Owner; key: string; result: Result }[] = [];
  return (owner, key, rest) => {
    let found = kept.find((entry) => entry.owner === owner && entry.key === key);
    if (!found) {
      found = { owner, key, result: compute(owner, key, rest) };
      kept.unshift(found);
      kept.length = Math.min(kept.length, count);
    }
    return found.result;
  };
}
