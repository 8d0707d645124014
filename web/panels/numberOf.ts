/** The number that a text is, with a point or a comma before its decimals; NaN where it is none. */
export function numberOf(text: string): number {
  return text.trim() === '' ? Number.NaN : Number(text.trim().replace(',', '.'));
}
