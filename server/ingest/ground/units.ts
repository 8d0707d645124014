import { DEG_PER_RAD, STANDARD_GRAVITY_MPS2 } from '../../engine/base/units.ts';

export type Quantity = 'accel' | 'gyro' | 'time';

/** A unit read from a header or stated by the user. */
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
  ['accel', 'cm/s2', /^(cm\/?s\/?s|cm(\/|p|per)?s(ec)?(\^|\*\*)?2|cm[.*]?s\^?-2|gals?)$/],
  ['accel', 'mm/s2', /^(mm\/?s\/?s|mm(\/|p|per)?s(ec)?(\^|\*\*)?2|mm[.*]?s\^?-2)$/],
  ['accel', 'ft/s2', /^(ft\/?s\/?s|(ft|feet)(\/|p|per)?s(ec)?(\^|\*\*)?2|ft[.*]?s\^?-2)$/],
  ['accel', 'm/s2', /^(n\/kg|newtons?perkilogram)$/],
  ['accel', 'ug', /^([uµμ]g|microg|microgs)$/],
  ['accel', 'mg', /^(mg|millig|milligs|milligees?|mgee)$/],
  ['accel', 'g', /^(g|gs|g's|gn|gee|gees|gforce|gravit(y|ies)|standardgravity|g0)$/],
  ['gyro', 'mdeg/s', /^(mdps|m(?:deg|°)(\/|p|per)?s(ec)?|millideg(ree)?s?(\/|p|per)?s(ec(ond)?)?)$/],
  ['gyro', 'cdeg/s', /^(cdps|c(?:deg|°)(\/|p|per)?s(ec)?|centideg(ree)?s?(\/|p|per)?s(ec(ond)?)?)$/],
  ['gyro', 'deg/s', /^(dps|d\/s|(°|º|deg|degs|degree|degrees)(\/|p|per|\.)?(s|sec|second)s?(\^?-1)?)$/],
  ['gyro', 'mrad/s', /^(mrad(\/|p|per)?s(ec)?(\^?-1)?|millirad(ian)?s?(\/|p|per)?s(ec(ond)?)?)$/],
  ['gyro', 'rev/s', /^((revs?|revolutions?|turns?|rot|rotations?)(\/|p|per)s(ec|econd)?)$/],
  ['gyro', 'rpm', /^(rpm|(revs?|revolutions?|turns?|rot|rotations?)(\/|p|per)(min|minute)|min\^-1)$/],
  ['gyro', 'rad/min', /^(rad|rads|radians?)(\/|per)min(ute)?$/],
  ['gyro', 'deg/min', /^(°|deg|degrees?)(\/|per)min(ute)?$/],
  ['gyro', 'rad/s', /^(rps|r\/s|(rad|rads|radian|radians)(\/|p|per|\.)?(s|sec|second)s?(\^?-1)?|rads)$/],
  // "time of day" names no unit.
  ['time', 'day', /^days$/],
  ['time', 'min', /^(min|mins|minutes?)$/],
  ['time', 'ms', /^(ms|msecs?|millis|milliseconds?|millisec)$/],
  ['time', 'us', /^(us|µs|μs|usecs?|micros|microseconds?|microsec)$/],
  ['time', 'ns', /^(ns|nsecs?|nanos|nanoseconds?|nanosec)$/],
  ['time', 's', /^(s|secs?|seconds?)$/],
];

/** What each quantity is called in a sentence. */
export const NOUNS: Readonly<Record<Quantity, string>> = {
  time: 'time',
  accel: 'acceleration',
  gyro: 'angular rate',
};

/** How the units of each quantity are written, for whoever states one. */
export const UNIT_EXAMPLES: Readonly<Record<Quantity, string>> = {
  time: 's, ms, us, ns, min, day, iso8601, timeOfDay, counter or s.us (12.84000 is 12 s and 84000 us)',
  accel: 'g, m/s2, mg, cm/s2, ft/s2, ... or lsb:16384 (codes per g)',
  gyro: 'deg/s, rad/s, mdeg/s, rpm, ... or lsb:16.4 (codes per deg/s)',
};

/** g in one unit. A foot is 0.3048 m by definition (international yard and pound agreement, 1959). */
const G_PER: Readonly<Record<string, number>> = {
  g: 1,
  mg: 1e-3,
  ug: 1e-6,
  'm/s2': 1 / STANDARD_GRAVITY_MPS2,
  'cm/s2': 0.01 / STANDARD_GRAVITY_MPS2,
  'mm/s2': 0.001 / STANDARD_GRAVITY_MPS2,
  'ft/s2': 0.3048 / STANDARD_GRAVITY_MPS2,
};
/** deg/s in one unit. */
const DPS_PER: Readonly<Record<string, number>> = {
  'deg/s': 1,
  'cdeg/s': 0.01,
  'mdeg/s': 1e-3,
  'deg/min': 1 / 60,
  'rad/s': DEG_PER_RAD,
  'mrad/s': DEG_PER_RAD / 1000,
  'rad/min': DEG_PER_RAD / 60,
  'rev/s': 360,
  rpm: 6,
};

/** Microseconds in one unit. */
const US_PER: Readonly<Record<string, number>> = { day: 8.64e10, min: 6e7, s: 1e6, ms: 1e3, us: 1, ns: 1e-3 };

/**
 * Seconds and a part of the second joined by a point, the part without its leading zeros: `12.84000` is 12 s and
 * 84 000 µs. How many digits the whole part has, by the unit.
 */
const PART_DIGITS: Readonly<Record<string, number>> = { 's.ms': 3, 's.us': 6, 's.ns': 9 };

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
  if (codes) return isScale(Number(codes[1])) ? 1 / Number(codes[1]) : null;
  return (quantity === 'accel' ? G_PER : DPS_PER)[unit] ?? null;
}

/** Whether a sensor may have so many codes per g or per °/s: beyond lies no part, by far. */
function isScale(codes: number): boolean {
  return codes >= 1e-6 && codes <= 1e9;
}

/** Microseconds in one unit of a numeric clock; null for any other unit. */
export function usPer(unit: string): number | null {
  return Object.hasOwn(PART_DIGITS, unit) ? 1e6 : (US_PER[unit] ?? null);
}

/** Digits of the part behind the point in a clock whose part is not padded with zeros; 0 for every other unit. */
export function partDigits(unit: string): number {
  return PART_DIGITS[unit] ?? 0;
}

/** The unit of a clock whose part behind the point has so many digits and is not padded. */
export function partUnit(digits: number): string {
  return Object.keys(PART_DIGITS).find((unit) => PART_DIGITS[unit] === digits) ?? '';
}

/** A unit of a mapping as people read it: `m/s²`, `°/s`, `131 codes per °/s`. */
export function unitWords(quantity: Quantity, unit: string): string {
  if (unit.startsWith('lsb:')) {
    const codes = Number(Number(unit.slice(4)).toPrecision(6));
    return `${codes} codes per ${quantity === 'gyro' ? '°/s' : 'g'}`;
  }
  if (quantity === 'time') {
    const part = unit.startsWith('s.') ? unit.slice(2) : null;
    return part === null ? unit.replace(/^us$/, 'µs') : `s and ${part.replace('us', 'µs')}`;
  }
  return unit
    .replace(/s2$/, 's²')
    .replace(/deg(?=\/)/, '°')
    .replace(/^ug$/, 'µg');
}

/** The unit as the user may write it, in the one spelling that a mapping holds; null where it is none. */
export function canonicalUnit(quantity: Quantity, text: string): string | null {
  const plain = text.trim();
  if (/^lsb:/i.test(plain)) {
    const unit = plain.toLowerCase();
    return quantity !== 'time' && factorTo(quantity, unit) !== null ? unit : null;
  }
  if (
    quantity === 'time' &&
    (Object.hasOwn(PART_DIGITS, plain) || ['day', 'iso8601', 'timeOfDay', 'counter'].includes(plain))
  )
    return plain;
  return readUnit(plain, quantity)?.unit ?? null;
}
