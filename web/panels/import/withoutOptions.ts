/** A sentence of the reader without what it says of the command line: `set the clock (--clock even)`. */
export function withoutOptions(text: string): string {
  return text.replace(/ \(--[^)]*\)/g, '');
}
