import { isStatedRate } from '../../engine/base/statedRate.ts';
import { STANDARD_GRAVITY_MPS2 } from '../../engine/base/units.ts';
import { readUnit } from '../ground/units.ts';

/** What the lines around a table state about it. null where they say nothing. */
export interface StatedFacts {
  readonly rateHz: number | null;
  readonly rateText: string;
  readonly accelUnit: string | null;
  readonly gyroUnit: string | null;
  /** Full scale of the accelerometer. */
  readonly accelRangeG: number | null;
  /** Full scale of the gyroscope. */
  readonly gyroRangeDps: number | null;
}

const RATE =
  /\b(?:fs|f_s|sampl\w*[ _-]*(?:rate|freq\w*)?|odr|output[ _-]data[ _-]rate|data[ _-]rate|update[ _-]rate|rate|frequency)(?:[ _]*[([]?\s*(k?hz)\s*[)\]]?)?\s*[:=,]?\s*(\d+(?:[.,]\d+)?)\s*(k?hz|sps|\/\s*s)?\s*$/i;
const RATE_INSIDE = /\b(?:fs|sampl\w*|odr|rate|logged at)\b[^\d\n]{0,24}?(\d+(?:\.\d+)?)\s*(k?hz)\b/i;
const PERIOD =
  /\b(?:sampl\w*[ _-]*(?:period|interval|time)|dt|period)(?:[ _]*[([]?\s*(s|ms|us)\s*[)\]]?)?\s*[:=,]?\s*(\d+(?:\.\d+)?(?:e-?\d+)?)\s*(s|ms|us|sec|msec|usec|µs)?\s*$/i;

/** Reads sample rate, units and sensitivities from preamble lines and comments. */
export function readNotes(notes: readonly string[]): StatedFacts {
  let rate: { rateHz: number; rateText: string } | null = null;
  let accelUnit: string | null = null;
  let gyroUnit: string | null = null;
  let gyroRangeDps: number | null = null;
  for (const note of notes) {
    rate ??= readRate(note);
    accelUnit ??= readScale(note, 'accel') ?? unitAfter(note, /\bacc\w*/i, 'accel');
    gyroUnit ??= readScale(note, 'gyro') ?? unitAfter(note, /\b(gyr\w*|angular \w+|rotation rate)/i, 'gyro');
    gyroRangeDps ??= readRange(note);
  }
  return {
    rateHz: rate?.rateHz ?? null,
    rateText: rate?.rateText ?? '',
    accelUnit,
    gyroUnit,
    accelRangeG: onlyOne(notes.map(readAccelRange)),
    gyroRangeDps,
  };
}

function readRate(note: string): { rateHz: number; rateText: string } | null {
  const text = note.trim();
  const whole = RATE.exec(text);
  const inside = whole ? null : RATE_INSIDE.exec(text);
  const period = whole || inside ? null : PERIOD.exec(text);
  let rateHz = Number.NaN;
  if (whole) rateHz = Number(whole[2]!.replace(',', '.')) * kilo(whole[3] ?? whole[1]);
  if (inside) rateHz = Number(inside[1]) * kilo(inside[2]);
  if (period) rateHz = 1 / (Number(period[2]) * (periodSeconds(period[3] ?? period[1]) ?? Number.NaN));
  return isStatedRate(rateHz) ? { rateHz, rateText: text } : null;
}

function kilo(unit: string | undefined): number {
  return unit?.toLowerCase().startsWith('k') ? 1000 : 1;
}

function periodSeconds(unit: string | undefined): number | null {
  const read = readUnit(unit ?? 's', 'time');
  return read?.unit === 's' ? 1 : read?.unit === 'ms' ? 1e-3 : read?.unit === 'us' ? 1e-6 : null;
}

/** `2048 LSB/g`, `0.061 mg/LSB`, `16.4 LSB/(deg/s)`, `70 mdps/LSB`. */
function readScale(note: string, quantity: 'accel' | 'gyro'): string | null {
  const unit = quantity === 'accel' ? '(m?g)' : '\\(?(m?(?:dps|deg\\/s|°\\/s))\\)?';
  const per = new RegExp(
    `(\\d+(?:\\.\\d+)?)\\s*(?:lsb|counts?|digits?)\\s*(?:\\/|per)\\s*${unit}(?![a-z])`,
    'i',
  ).exec(note);
  const of = new RegExp(`(\\d+(?:\\.\\d+)?)\\s*${unit}\\s*(?:\\/|per)\\s*(?:lsb|counts?|digits?)`, 'i').exec(
    note,
  );
  const milli = (text: string) => (text.toLowerCase().startsWith('m') ? 1000 : 1);
  if (per && Number(per[1]) > 0) return `lsb:${Number(per[1]) * milli(per[2]!)}`;
  return of && Number(of[1]) > 0 ? `lsb:${Number((milli(of[2]!) / Number(of[1])).toPrecision(10))}` : null;
}

const GYRO_RANGES = [125, 250, 500, 1000, 2000, 4000];
const GYRO_NAME = /\b(?:gyr\w*|angular \w+|rotation rate|g[_ ]?fs\w*)\b/i;
const RANGE_WORD = /(?:range|scale|fsr?|full|±|\+\/?-)/i;

/** `gyro range 2000`, `Gyro FSR: ±500 dps`, `GYRO_FS=1000`, `±250 deg/s gyroscope range`. */
function readRange(note: string): number | null {
  const name = GYRO_NAME.exec(note.replaceAll('_', ' '));
  if (!name || !RANGE_WORD.test(note)) return null;
  const text = note.replaceAll('_', ' ');
  const unit = /(?:±|\+\/?-)?\s*(\d+)\s*(?:dps|deg\s*\/\s*s(?:ec)?|°\s*\/\s*s|degrees? per second)/gi;
  const behind = text.slice(name.index + name[0].length);
  const numbers = [
    ...[...text.matchAll(unit)].map((match) => Number(match[1])),
    ...[...(/\b(?:range|scale|fsr?)\b[^\d]{0,12}(\d+)\b/i.exec(behind) ?? [])].slice(1).map(Number),
  ];
  return numbers.find((number) => GYRO_RANGES.includes(number)) ?? null;
}

const ACCEL_RANGES_G = [1, 1.5, 2, 3, 4, 6, 8, 12, 16, 24, 30, 32, 64, 100, 200, 400];
const ACCEL_NAME = /\b(?:acc\w*|a ?fs\w*|xl|linear acceleration)\b/i;
const RANGE_IN_G =
  /(±|\+\s*\/?\s*[-−])?\s*(?<![\d.])(\d+(?:\.\d+)?)\s*(g|m\s*\/\s*s\s*(?:\^|\*\*)?[2²])(?:'?s)?(?![\w/])/gi;
const BARE_RANGE =
  /\b(?:range|full[ -]?scale|fsr?)\b(?:\s*(?:in|\(|\[)?\s*g\b\s*[)\]]?)?[\s:=,]*(?:±|\+\s*\/?\s*[-−])?\s*(\d+)(?![\w.])/i;

/**
 * `accel range 8 g`, `ACC_FS=±16g`, `AFS_SEL=2 (8g)`, `Accelerometer range: 16`, `±4 g, ±500 °/s`. The number of a
 * register's setting is no range: what it means differs by part.
 */
function readAccelRange(note: string): number | null {
  const text = note.replaceAll('_', ' ');
  const name = ACCEL_NAME.exec(text);
  if (!RANGE_WORD.test(text)) return null;
  for (const [, sign, number, unit] of text.matchAll(RANGE_IN_G)) {
    if (name === null && !sign) continue;
    const inG = Number(number) / (/^m/i.test(unit!) ? STANDARD_GRAVITY_MPS2 : 1);
    const range = ACCEL_RANGES_G.find((rangeG) => Math.abs(inG / rangeG - 1) < ROUNDED_WITHIN);
    if (range !== undefined) return range;
  }
  if (name === null || /\bsel\b/i.test(text)) return null;
  const bare = Number(BARE_RANGE.exec(text.slice(name.index + name[0].length))?.[1]);
  return ACCEL_RANGES_G.includes(bare) ? bare : null;
}

/** 156.9 m/s² is 16 g. */
const ROUNDED_WITHIN = 2e-3;

/** What is stated, where nothing contradicts it: a range that was changed on the way says nothing of the rows. */
function onlyOne(stated: readonly (number | null)[]): number | null {
  const found = new Set(stated.filter((unit) => unit !== null));
  return found.size === 1 ? [...found][0]! : null;
}

/** `accelerometer in m/s^2`: the first unit of that quantity within a few words of its name. */
function unitAfter(note: string, name: RegExp, quantity: 'accel' | 'gyro'): string | null {
  const match = name.exec(note);
  if (!match) return null;
  const words = note
    .slice(match.index + match[0].length)
    .split(/[\s,;:=()[\]]+/)
    .filter(Boolean)
    .slice(0, 5);
  if (words.some((word) => /^(range|scale|fsr|full|limit|max|±\d*)/i.test(word))) return null;
  for (const word of words) {
    const unit = readUnit(word, quantity);
    if (unit) return unit.unit;
  }
  return null;
}
