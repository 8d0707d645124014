/** Units of what is no motion and no time, and what they measure. */
const FOREIGN: readonly (readonly [RegExp, string])[] = [
  [/^([num]?t|[numµμ]t|(micro|nano|milli)?teslas?|m?gauss|ga|mga)$/, 'magnetic field'],
  [/^(°|º|deg)?c$|^celsius$|^k$|^(°|º)f$/, 'temperature'],
  [/^(h|k|m)?pa$|^m?bar$/, 'air pressure'],
  [/^(m|k|µ|u)?v$|^m?ah?$|^volts?$/, 'electrical supply'],
  [/^(m|cm|mm|km|ft)$/, 'position or distance'],
  [/^(m\/s|km\/h|kmh|kn|mph)$/, 'velocity'],
  [/^(%|%rh|lux|lx|db|dbm|bpm|ppm)$/, 'something else'],
];

/** What a unit says that a column holds, where that is neither motion nor time; null where it is no such unit. */
export function readForeignUnit(text: string): string | null {
  const plain = text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s_]+/g, '');
  return FOREIGN.find(([spelling]) => spelling.test(plain))?.[1] ?? null;
}

/** The unit in brackets or behind the last comma of a name, as `readForeignUnit` reads it. */
export function foreignUnitIn(name: string): string | null {
  const inside = /[([{<]([^)\]}>]*)[)\]}>]\s*$/.exec(name)?.[1] ?? /,\s*(\S+)\s*$/.exec(name)?.[1];
  return inside === undefined ? null : readForeignUnit(inside);
}
