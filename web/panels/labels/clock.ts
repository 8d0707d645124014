/** Microseconds of `m:ss.sss` or plain seconds; null where the text is neither. */
export function parseClock(text: string): number | null {
  const parts = /^\s*(?:(\d+):)?(\d+(?:[.,]\d+)?)\s*s?\s*$/.exec(text);
  if (!parts) return null;
  return Math.round((Number(parts[1] ?? 0) * 60 + Number(parts[2]!.replace(',', '.'))) * 1e6);
}
