import { meansCodes, type Quantity, type ReadUnit, readUnit } from './units.ts';

export type Axis = 0 | 1 | 2;

/** A name with its unit cut off, in lower-case words. */
interface NameParts {
  readonly words: readonly string[];
  readonly unit: ReadUnit | null;
  readonly codes: boolean;
}

/** What was taken out of a name, and the words that are left. */
interface AxisReading {
  readonly axis: Axis;
  readonly rest: readonly string[];
}

const GYRO_WORDS =
  'g|gy|gyr|gyro|gyros|gyroscope|w|ω|omega|rot|rotrate|angvel|angrate|angularvelocity|angularrate|rotationrate'.split(
    '|',
  );
const ACCEL_WORDS =
  'a|ac|acc|accl|accel|accelerometer|acceleration|linacc|linearacceleration|gf|gforce|useracceleration|f'.split(
    '|',
  );
/** Kind and axis in one word, and perhaps the number of one sensor among several: `ax`, `gyroX`, `acc_z2`. */
const JOINED = new RegExp(
  `^(${[...GYRO_WORDS, ...ACCEL_WORDS.filter((word) => word !== 'f')].join('|')})([xyz])(\\d*)$`,
);
const NOT_MOTION = /^(mag\w*|quat\w*|rate|angle)$/;

/** Cuts the unit off: in brackets, or as the last words (`_deg_per_s`, `_gs`, `_mps2`). */
export function splitUnit(name: string): NameParts {
  let unit: ReadUnit | null = null;
  let codes = false;
  const bare = name
    .normalize('NFKC')
    .replace(/[([{<]([^)\]}>]*(?:\([^)]*\)[^)\]}>]*)?)[)\]}>]/g, (all, inside: string) => {
      const read = readUnit(inside);
      if (read) unit ??= read;
      else if (meansCodes(inside)) codes = true;
      else return /^\s*\d+\s*$/.test(inside) ? ` ${inside} ` : all;
      return ' ';
    });
  const words = toWords(bare);
  return unit ? { words, unit, codes } : { ...takeUnitWords(words), codes };
}

/** Kind and axis in one word, or as two neighbouring words (`a_x`, `w_z`); null where there is no such thing. */
export function readShort(
  words: readonly string[],
): (AxisReading & { readonly kind: 'gyro' | 'accel' }) | null {
  // First, because the "gy" of GyX would else be g and y.
  for (let i = 0; i + 1 < words.length; ++i) {
    const axis = axisOf(words[i + 1]!);
    if (axis === null || !/^(a|ac|f|g|gy|w|ω)$/.test(words[i]!)) continue;
    return { kind: shortKind(words[i]!), axis, rest: words.filter((_, k) => k !== i && k !== i + 1) };
  }
  const at = words.findIndex((word) => JOINED.test(word));
  if (at < 0 || words.some((word) => NOT_MOTION.test(word))) return null;
  const [, kind, axis, number] = JOINED.exec(words[at]!)!;
  const rest = [...words.filter((_, i) => i !== at), ...(number ? [number] : [])];
  return { kind: shortKind(kind!), axis: axisOf(axis!)!, rest };
}

/** The word that names the axis: x, y, z; for rates also roll, pitch, yaw and p, q, r. */
export function takeAxis(words: readonly string[], isRate: boolean): AxisReading | null {
  const at = words.findLastIndex((word) => axisOf(word) !== null);
  if (at >= 0)
    return { axis: axisOf(words[at]!)!, rest: words.filter((word, i) => i !== at && word !== 'axis') };
  if (!isRate) return null;
  for (const names of [
    ['roll', 'pitch', 'yaw'],
    ['p', 'q', 'r'],
  ]) {
    const turn = words.findIndex((word) => names.includes(word));
    if (turn < 0) continue;
    return {
      axis: names.indexOf(words[turn]!) as Axis,
      rest: ['gyro', ...words.filter((_, i) => i !== turn)],
    };
  }
  return null;
}

/** `seconds_elapsed`, `millis`: the unit may be any word of a clock's name. */
export function timeUnitAmong(words: readonly string[]): ReadUnit | null {
  for (const word of words) {
    const unit = word.length > 1 ? readUnit(word, 'time') : null;
    if (unit) return unit;
  }
  return null;
}

/** `gyro_rad`: an angle's unit in a rate's name stands for that angle a second. */
export function rateUnitAmong(words: readonly string[]): ReadUnit | null {
  const quantity: Quantity = 'gyro';
  if (words.some((word) => /^(rad|radians?)$/.test(word))) return { quantity, unit: 'rad/s' };
  return words.some((word) => /^(deg|degrees?|°|º)$/.test(word)) ? { quantity, unit: 'deg/s' } : null;
}

function shortKind(word: string): 'gyro' | 'accel' {
  return GYRO_WORDS.includes(word) ? 'gyro' : 'accel';
}

function axisOf(word: string): Axis | null {
  const axis = ['x', 'y', 'z'].indexOf(word);
  return axis < 0 ? null : (axis as Axis);
}

/** The number of an axis may stand behind the unit: `accelerometer_m_s2[0]`. */
function takeUnitWords(words: readonly string[]): { words: readonly string[]; unit: ReadUnit | null } {
  const number = words.length > 2 && /^\d$/.test(words.at(-1)!) ? words.slice(-1) : [];
  const before = words.slice(0, words.length - number.length);
  for (let count = Math.min(5, before.length - 1); count > 0; --count) {
    const tail = before.slice(-count);
    if (count === 1 && axisOf(tail[0]!) !== null) continue;
    const unit = readUnit(tail.join('')) ?? readUnit(tail.join('/'));
    if (unit) return { words: [...before.slice(0, -count), ...number], unit };
  }
  return { words, unit: words.length === 1 && words[0] !== 'g' ? readUnit(words[0]!, 'time') : null };
}

function toWords(text: string): string[] {
  return text
    .replace(/Ω|ω/g, 'ω')
    .replace(/\bgF([xyz])\b/g, 'gforce$1')
    .replace(/([^\0-\x7f])([xyzXYZ])(?![a-z])/g, '$1 $2')
    .replace(/([a-z0-9ω])([A-Z])/g, '$1 $2')
    .replace(/([A-Z]+)([A-Z][a-z])/g, '$1 $2')
    .toLowerCase()
    .replace(/([xyz])-?axis/g, '$1 axis')
    .replace(/\b(lin|linear|rotation)([xyz])\b/g, '$1 $2')
    .split(/[\s_.:;,\-[\](){}<>|"'%]+/)
    .filter((word) => word !== '');
}
