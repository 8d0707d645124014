import { rateUnitAmong, readShort, splitUnit, takeAxis, timeUnitAmong } from './nameParts.ts';
import type { ReadUnit } from './units.ts';

type NameKind = 'gyro' | 'accel' | 'time' | 'counter' | 'button' | 'label' | 'other' | 'unknown';

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
  /** What the values had to say for this reading; null where the name alone tells. */
  readonly why: string | null;
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

/** What a column of gravity holds, going by its name. */
export const ESTIMATED_GRAVITY = 'gravity as another program estimated it';

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
  [/\b(gravity|grav)\b/, ESTIMATED_GRAVITY],
  [/\b(roll|pitch|yaw|tilt|azimuth|angle|inclination)\b/, 'an angle'],
  [/\b(opt|optical|mocap|marker [xyz])\b/, 'optical tracking'],
  [/\b(rssi|status|error|crc|checksum|flags?|accuracy|steps?|heart\w*|emg|ecg|ppg|gsr)\b/, 'something else'],
];
const GYRO =
  /\b(gyr\w*|omegas?|angular (rate|velocity|vel|speed)|ang (vel|rate|velocity)|angvel|angrate|rotation ?rates?|rotrate|rot rate|rate of turn|turn rate|(roll|pitch|yaw) ?(rate|speed|velocity)|winkelgeschw\w*|drehrate\w*|vitesse angulaire|velocidad angular|giroscopio\b)|(^| )(ω|角速度)( |$)/;
const ACCEL =
  /\b(acc|accs|accl|accel\w*|acceleration\w*|linacc\w*|specific force|g ?force|proper acc\w*|free ?acc\w*|user ?acc\w*|beschl\w*|acel\w*)\b|(^| )加速度( |$)/;
const TIME =
  /\b(time|times|timestamps?|time ?stamps?|stamp|ts|t|millis|micros|nanos|elapsed|epoch|clock|datetime|date ?time|unixtime|uptime|sec|secs|seconds|msec|usec|tick ?ms|zeit\w*|temps|tiempo|tempo)\b|时间|時間|時刻/;
const COUNTER =
  /\b(samples?|sample ?(number|no|id|index|count)|index|idx|packets?|packet ?(counter|count|number|id)|counter|count|frames?|frame ?(number|id)|seq|sequence|row|no|nr|n|line|tick|ticks|#)\b/;
const BUTTON =
  /\b(buttons?\d*|btns?\d*|butt?|keys?\d*|press(ed)?|switch|sw|pushbutton|pwr ?(button|btn)|power ?(button|btn|switch|key)|aux|thumb|trigger|taster|taste|drucktaste|knopf|schalter|bouton|bot[oó]n|pulsador|pulsante|knop|knapp?|przycisk)\b|按[钮键]|ボタン|버튼|кнопка/;
const LABEL =
  /\b(labels?|activity|activities|annotations?|events?|markers?|class|classes|part|phase|segment|section|trial|exercise|movement|motion ?(state|type|class)|gesture|drill|comments?|notes?|state|tag|status ?text|mode|task|target)\b/;

const TRAITS: readonly (readonly [Trait, RegExp])[] = [
  ['uncalibrated', /\b(uncal\w*|uncalibrated|unc)\b/],
  ['raw', /\braw\b/],
  ['calibrated', /\b(cal|calib\w*|calibrated|corrected|corr|compensated)\b/],
  [
    'estimated',
    /\b(est|estimated?|filt\w*|smooth\w*|fused|fusion|kalman|kf|ekf|ukf|ahrs|lowpass|low pass|lp|lpf|predicted|setpoint)\b/,
  ],
  ['otherFrame', /\b(rotated|earth|world|global|nav|navigation|ned|enu|inertial|vertical)\b/],
  ['noGravity', /\b(user|free|linear|lin|linacc|nograv\w*|dynamic)\b/],
  ['secondary', /\b(wr|bias|offset|std|stdev|var|variance|cov\w*|mean|avg|min|max|rms|jerk|alpha)\b/],
];

/** Reads a header cell: kind, axis, unit, and words of praise or blame. */
export function readName(name: string): NameReading {
  const { words, unit, codes } = splitUnit(name);
  const short = readShort(words);
  const found = short ?? takeAxis(words, unit?.quantity === 'gyro' || GYRO.test(words.join(' ')));
  const text = (found?.rest ?? words).join(' ');
  const axis = found?.axis ?? null;
  const { kind, what } = short ? { kind: short.kind, what: '' } : readKind(text, axis, unit);
  const digit = axis === null ? /^(.*[a-zω]) ?(\d)(?= |$)(.*)$/.exec(text) : null;
  return {
    kind,
    axis,
    group: digit ? digit[1]! + digit[3]! : text,
    unit: unit ?? (kind === 'time' ? timeUnitAmong(words) : kind === 'gyro' ? rateUnitAmong(words) : null),
    codes: codes || /\b(lsb|codes?|counts)\b/.test(text),
    traits: TRAITS.filter(([, pattern]) => pattern.test(text)).map(([trait]) => trait),
    what,
    why: null,
    digit: digit ? Number(digit[2]) : null,
  };
}

function readKind(
  text: string,
  axis: number | null,
  unit: ReadUnit | null,
): { kind: NameKind; what: string } {
  const is = (kind: NameKind, what = '') => ({ kind, what });
  // `acc1` is no other word than `acc`.
  const plain = text.replace(/\b([a-zω]{3,})\d\b/g, '$1');
  if (GYRO.test(plain)) return is('gyro');
  if (BUTTON.test(text) && !/\bpressure\b/.test(text)) return is('button');
  if (ACCEL.test(plain)) return is('accel');
  // `temps` and `tempo` are no temperatures.
  if (/^(elapsed|since)\b|\b(time|timestamp|temps|tempo)\b/.test(text)) return is('time');
  for (const [pattern, what] of OTHER)
    if (pattern.test(text) || pattern.test(plain)) return is('other', what);
  // One letter beside an axis, as physics writes a magnetic field: B, H, and M for the sensor.
  if (axis !== null && /^[bhm]$/.test(text)) return is('other', 'magnetic field');
  // Nothing but acceleration is called linear by itself.
  if (axis !== null && /^lin(ear)?$/.test(text)) return is('accel');
  if (axis === null && TIME.test(text)) return is('time');
  if (LABEL.test(text)) return is('label');
  if (COUNTER.test(text)) return is('counter');
  if (axis !== null && unit && unit.quantity !== 'time') return is(unit.quantity);
  if (unit?.quantity === 'time' && axis === null) return is('time');
  return is('unknown');
}
