import { DEG_PER_RAD, STANDARD_GRAVITY_MPS2 } from '../engine/units.ts';

export type Quantity = 'accel' | 'gyro' | 'time';

/** A unit read from a header or stated by the user. `codes` says "raw codes" without saying how many to a unit. */
export interface ReadUnit {
  readonly quantity: Quantity;
  readonly unit: string;
}

const SPELLINGS: readonly (readonly [Quantity, string, RegExp])[] = [
  [
    'accel',
    'm/s2',
    /^(m\/?s\/?s|m(eters?|etres?)?(\/|p|per)?(s|sec|second)s?(\^|\*\*)?(2|quared)|m\/?\(s\^?2\)|m[.*]?s\^?-2|metersper(second|sec|s)(per(second|sec|s)|squared|\^?2))$/,
  ],
  ['accel', 'mg', /^(mg|millig|milligs|milligees?|mgee)$/],
  ['accel', 'g', /^(g|gs|g's|gn|gee|gees|gforce|gravit(y|ies)|standardgravity|g0)$/],
  ['gyro', 'mdeg/s', /^(mdps|mdeg(\/|p|per)?s(ec)?|millideg(ree)?s?(\/|p|per)?s(ec(ond)?)?)$/],
  ['gyro', 'deg/s', /^(dps|d\/s|(°|º|deg|degs|degree|degrees)(\/|p|per|\.)?(s|sec|second)s?(\^?-1)?|°)$/],
  ['gyro', 'rad/s', /^(rps|r\/s|(rad|rads|radian|radians)(\/|p|per|\.)?(s|sec|second)s?(\^?-1)?|rads)$/],
  ['time', 'min', /^(min|mins|minutes?)$/],
  ['time', 'ms', /^(ms|msecs?|millis|milliseconds?|millisec)$/],
  ['time', 'us', /^(us|µs|μs|usecs?|micros|microseconds?|microsec)$/],
  ['time', 'ns', /^(ns|nsecs?|nanos|nanoseconds?|nanosec)$/],
  ['time', 's', /^(s|secs?|seconds?)$/],
];

const CODES = /^(raw|lsb|lsbs|counts?|codes?|adc|digits?|ticks?|nounits?)$/;

/**
 * The unit that a piece of header text spells, or null. Blanks, case and superscripts do not matter.
 * @param quantity  where given, only its units count
 */
export function readUnit(text: string, quantity?: Quantity): ReadUnit | null {
  const plain = text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s_]+/g, '')
    .replace(/[−–]/g, '-')
    .replace('·', '.');
  for (const [kind, unit, spelling] of SPELLINGS) {
    if ((quantity === undefined || quantity === kind) && spelling.test(plain))
      return { quantity: kind, unit };
  }
  return null;
}

/** True where the text says that the column holds raw codes. */
export function meansCodes(text: string): boolean {
  return CODES.test(text.toLowerCase().replace(/[\s_]+/g, ''));
}

/**
 * What a value in this unit is multiplied by to give g (acceleration) or deg/s (rate); null where the unit is
 * not one of the accepted ones.
 */
export function factorTo(quantity: 'accel' | 'gyro', unit: string): number | null {
  const codes = /^lsb:(\d+(?:\.\d+)?(?:e[+-]?\d+)?)$/.exec(unit);
  if (codes) return Number(codes[1]) > 0 ? 1 / Number(codes[1]) : null;
  if (quantity === 'accel') {
    if (unit === 'g') return 1;
    if (unit === 'mg') return 1e-3;
    return unit === 'm/s2' ? 1 / STANDARD_GRAVITY_MPS2 : null;
  }
  if (unit === 'deg/s') return 1;
  if (unit === 'mdeg/s') return 1e-3;
  return unit === 'rad/s' ? DEG_PER_RAD : null;
}

/** Microseconds in one unit of a numeric clock; null for any other unit. */
export function usPer(unit: string): number | null {
  const table: Readonly<Record<string, number>> = { min: 6e7, s: 1e6, ms: 1e3, us: 1, ns: 1e-3 };
  return table[unit] ?? null;
}

/** The unit as the user may write it, in the one spelling that a mapping holds; null where it is none. */
export function canonicalUnit(quantity: Quantity, text: string): string | null {
  const plain = text.trim();
  if (/^lsb:/i.test(plain)) {
    const unit = plain.toLowerCase();
    return quantity !== 'time' && factorTo(quantity, unit) !== null ? unit : null;
  }
  if (quantity === 'time' && ['iso8601', 'timeOfDay', 'counter'].includes(plain)) return plain;
  return readUnit(plain, quantity)?.unit ?? null;
}
