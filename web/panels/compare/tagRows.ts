/**
 * Thresholds in the order of the rows that their names take, such that no line runs through another's name: a line
 * begins beside its own and goes down, a name stands on its right, on its left from `flipDps` up.
 */
export function tagRows<L extends { readonly speedDps: number }>(
  lines: readonly L[],
  flipDps: number,
): { readonly line: L; readonly isRight: boolean }[] {
  const rising = [...lines].sort((a, b) => a.speedDps - b.speedDps);
  const right = rising.filter(({ speedDps }) => speedDps < flipDps);
  const left = rising.filter(({ speedDps }) => speedDps >= flipDps).reverse();
  return [
    ...left.map((line) => ({ line, isRight: false })),
    ...right.map((line) => ({ line, isRight: true })),
  ];
}
