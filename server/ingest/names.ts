import { meansCodes, type ReadUnit, readUnit } from './units.ts';

export type NameKind = 'gyro' | 'accel' | 'time' | 'counter' | 'button' | 'label' | 'other' | 'unknown';

/** What a column's name says. */
export interface NameReading {
  readonly kind: NameKind;
  /** 0, 1, 2 for x, y, z. */
  readonly axis: 0 | 1 | 2 | null;
  /** What is left of the name without kind, axis and unit: columns of one triple share it. */
  readonly group: string;
  readonly unit: ReadUnit | null;
  readonly codes: boolean;
  /** Words that make this column a better or worse choice than another of its kind. */
  readonly traits: readonly Trait[];
  /** For `other`: what the column holds instead. */
  readonly what: string;
  /** A number that may stand for the axis: the 0 of `acc[0]`. */
  readonly digit: number | null;
}

export type Trait =
  | 'raw'
  | 'calibrated'
  | 'estimated'
  | 'otherFrame'
  | 'noGravity'
  | 'uncalibrated'
  | 'secondary';

const OTHER: readonly (readonly [RegExp, string])[] = [
  [
    /\b(mag|magn|magnet\w*|magnetic|magneto\w*|compass|mx|my|mz|bx|by|bz|hx|hy|hz|heading)\b/,
    'magnetic field',
  ],
  [
    /\b(quat\w*|q[0-3wxyzijk]|orientation\w*|attitude\w*|euler\w*|rotation vector|opt q?[wxyz]|matrix|mat|r[1-3][1-3])\b/,
    'orientation',
  ],
  [/\b(temp\w*|tmp)\b/, 'temperature'],
  [/\b(press|pressure|baro\w*|altitude|alt|height\w*|humidity)\b/, 'air pressure or height'],
  [/\b(gps|gnss|lat|lon|lng|latitude|longitude|bearing)\b/, 'position on earth'],
  [/\b(battery|batt|vbat|voltage|volt|volts|current|milliamps|amps|charge)\b/, 'electrical supply'],
  [/\b(position|pos|displacement|velocity|vel|speed|mach|distance)\b/, 'position or velocity'],
  [/\b(gravity|grav)\b/, 'gravity as another program estimated it'],
  [/\b(roll|pitch|yaw|tilt|azimuth|angle|inclination)\b/, 'an angle'],
  [/\b(opt|optical|mocap|marker [xyz])\b/, 'optical tracking'],
  [/\b(rssi|status|error|crc|checksum|flags?|accuracy|steps?|heart\w*|emg|ecg|ppg|gsr)\b/, 'something else'],
];
const GYRO =
  /\b(gyr\w*|omegas?|ω|angular (rate|velocity|vel|speed)|ang (vel|rate|velocity)|angvel|angrate|rotation ?rates?|rotrate|rot rate|rate of turn|turn rate|(roll|pitch|yaw) ?(rate|speed|velocity))/;
const ACCEL =
  /\b(acc|accs|accl|accel\w*|acceleration\w*|linacc\w*|specific force|g ?force|proper acc\w*|free ?acc\w*|user ?acc\w*)\b/;
const TIME =
  /\b(time|times|timestamps?|time ?stamps?|stamp|ts|t|millis|micros|nanos|elapsed|epoch|clock|datetime|date ?time|unixtime|uptime|sec|secs|seconds|msec|usec|tick ?ms)\b/;
const COUNTER =
  /\b(samples?|sample ?(number|no|id|index|count)|index|idx|packets?|packet ?(counter|count|number|id)|counter|count|frames?|frame ?(number|id)|seq|sequence|row|no|nr|n|line|tick|ticks|#)\b/;
const BUTTON =
  /\b(buttons?|btns?|butt?|keys?|press(ed)?|switch|sw|pushbutton|pwr ?(button|btn)|power ?(button|btn|switch|key)|aux|thumb|trigger)\b/;
const LABEL =
  /\b(labels?|activity|activities|annotations?|events?|markers?|class|classes|part|phase|segment|section|trial|exercise|movement|motion ?(state|type|class)|gesture|drill|comments?|notes?|state|tag|status ?text|mode|task|target)\b/;

const TRAITS: readonly (readonly [Trait, RegExp])[] = [
  ['uncalibrated', /\b(uncal\w*|uncalibrated|unc)\b/],
  ['raw', /\braw\b/],
  ['calibrated', /\b(cal|calib\w*|calibrated|corrected|corr|compensated)\b/],
  ['estimated', /\b(est|estimated?|filt\w*|smooth\w*|fused|kalman|lowpass|lpf|predicted|setpoint)\b/],
  ['otherFrame', /\b(rotated|earth|world|global|nav|navigation|ned|enu|inertial|vertical)\b/],
  ['noGravity', /\b(user|free|linear|lin|linacc|nograv\w*|dynamic)\b/],
  ['secondary', /\b(wr|bias|offset|std|stdev|var|variance|cov\w*|mean|avg|min|max|rms|jerk|alpha)\b/],
];

/** Reads a header cell: kind, axis, unit, and words of praise or blame. */
export function readName(name: string): NameReading {
  const { words, unit, codes } = splitUnit(name);
  const short = readShort(words);
  const { axis, rest } = short ?? takeAxis(words);
  const text = rest.join(' ');
  const { kind, what } = short ? { kind: short.kind, what: '' } : readKind(text, axis, unit);
  const digit = axis === null ? /^(.*?[a-zω]) ?(\d)$/.exec(text) : null;
  return {
    kind,
    axis,
    group: digit ? digit[1]! : text,
    unit: unit ?? (kind === 'time' ? timeUnitAmong(words) : null),
    codes: codes || /\b(lsb|codes?|counts)\b/.test(text),
    traits: TRAITS.filter(([, pattern]) => pattern.test(text)).map(([trait]) => trait),
    what,
    digit: digit ? Number(digit[2]) : null,
  };
}

function readKind(
  text: string,
  axis: number | null,
  unit: ReadUnit | null,
): { kind: NameKind; what: string } {
  const is = (kind: NameKind, what = '') => ({ kind, what });
  if (GYRO.test(text)) return is('gyro');
  if (BUTTON.test(text) && !/\bpressure\b/.test(text)) return is('button');
  if (ACCEL.test(text)) return is('accel');
  if (/^(elapsed|since)\b|\b(time|timestamp)\b/.test(text)) return is('time');
  for (const [pattern, what] of OTHER) if (pattern.test(text)) return is('other', what);
  if (axis === null && TIME.test(text)) return is('time');
  if (LABEL.test(text)) return is('label');
  if (COUNTER.test(text)) return is('counter');
  if (axis !== null && unit && unit.quantity !== 'time') return is(unit.quantity);
  if (unit?.quantity === 'time' && axis === null) return is('time');
  return is('unknown');
}

/** `ax`, `gyroX`, `acc_x1`: kind and axis in one word, perhaps among others. */
function readShort(words: readonly string[]): { kind: NameKind; axis: 0 | 1 | 2; rest: string[] } | null {
  const at = words.findIndex((word) => SHORT.test(word));
  const match = at < 0 ? null : SHORT.exec(words[at]!);
  if (!match) return pairShort(words);
  if (words.some((word) => /^(mag\w*|quat\w*|rate|angle)$/.test(word))) return null;
  const kind: NameKind = /^(g|gy|gyr|gyro|gyros|gyroscope|w|ω|omega|rot|rotrate|angvel|rotationrate)$/.test(
    match[1]!,
  )
    ? 'gyro'
    : 'accel';
  return { kind, axis: axisOf(match[2]!)!, rest: words.filter((_, i) => i !== at) };
}

const SHORT =
  /^(a|ac|acc|accl|accel|accelerometer|acceleration|linacc|gf|gforce|useracceleration|g|gy|gyr|gyro|gyros|gyroscope|w|ω|omega|rot|rotrate|angvel|rotationrate)([xyz])$/;

/** `a_x`, `g_y`, `w_z`: one letter for the kind, then the axis. */
function pairShort(words: readonly string[]): { kind: NameKind; axis: 0 | 1 | 2; rest: string[] } | null {
  for (let i = 0; i + 1 < words.length; ++i) {
    const axis = axisOf(words[i + 1]!);
    if (axis === null || !/^(a|ac|g|gy|w|ω|f)$/.test(words[i]!)) continue;
    const kind: NameKind = /^(a|ac|f)$/.test(words[i]!) ? 'accel' : 'gyro';
    return { kind, axis, rest: words.filter((_, k) => k !== i && k !== i + 1) };
  }
  return null;
}

function takeAxis(words: readonly string[]): { axis: 0 | 1 | 2 | null; rest: string[] } {
  const at = words.findLastIndex((word) => axisOf(word) !== null);
  if (at >= 0)
    return { axis: axisOf(words[at]!), rest: words.filter((word, i) => i !== at && word !== 'axis') };
  const turn = words.findIndex((word) => /^(roll|pitch|yaw)$/.test(word));
  if (turn >= 0 && GYRO.test(words.join(' '))) {
    const axis = (['roll', 'pitch', 'yaw'] as const).indexOf(words[turn] as 'roll') as 0 | 1 | 2;
    return { axis, rest: ['gyro', ...words.filter((_, i) => i !== turn)] };
  }
  return { axis: null, rest: [...words] };
}

/** `seconds_elapsed`, `millis`: the unit may be any word of a clock's name. */
function timeUnitAmong(words: readonly string[]): ReadUnit | null {
  for (const word of words) {
    const unit = word.length > 1 ? readUnit(word, 'time') : null;
    if (unit) return unit;
  }
  return null;
}

function axisOf(word: string): 0 | 1 | 2 | null {
  return word === 'x' ? 0 : word === 'y' ? 1 : word === 'z' ? 2 : null;
}

/** Cuts the unit off: in brackets, after a comma, or as the last words (`_deg_per_s`, `_gs`, `_mps2`). */
function splitUnit(name: string): { words: string[]; unit: ReadUnit | null; codes: boolean } {
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
  let words = toWords(bare);
  if (!unit) ({ words, unit } = takeUnitWords(words));
  return { words, unit, codes };
}

function takeUnitWords(words: string[]): { words: string[]; unit: ReadUnit | null } {
  for (let count = Math.min(5, words.length - 1); count > 0; --count) {
    const tail = words.slice(-count);
    if (count === 1 && (axisOf(tail[0]!) !== null || tail[0] === '°')) continue;
    const unit = readUnit(tail.join('')) ?? readUnit(tail.join('/'));
    if (unit) return { words: words.slice(0, -count), unit };
  }
  const alone = words.length === 1 && words[0] !== 'g' ? readUnit(words[0]!, 'time') : null;
  return { words, unit: alone };
}

function toWords(text: string): string[] {
  return text
    .replace(/Ω|ω/g, 'ω')
    .replace(/\bgF([xyz])\b/g, 'gforce$1')
    .replace(/([a-z0-9ω])([A-Z])/g, '$1 $2')
    .replace(/([A-Z]+)([A-Z][a-z])/g, '$1 $2')
    .toLowerCase()
    .replace(/([xyz])-?axis/g, '$1 axis')
    .split(/[\s_.:;,\-[\](){}<>|"']+/)
    .filter((word) => word !== '');
}
