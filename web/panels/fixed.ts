/** Fixed decimals, with a true minus and none before a zero. */
export function fixed(value: number, decimals: number): string {
  return (Number(value.toFixed(decimals)) + 0).toFixed(decimals).replace('-', '−');
}
