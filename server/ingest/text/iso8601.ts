/**
 * A moment: whole seconds since 1970-01-01T00:00:00Z and the rest of the second in microseconds, any digits. A text that
 * names no offset is taken as UTC.
 */
interface Moment {
  readonly seconds: number;
  readonly micros: number;
  readonly isLeapSecond: boolean;
}

const DATE_TIME =
  /^(\d{4})(-?)(\d{2})\2(\d{2})[Tt _](\d{2})(:?)(\d{2})(?:\6(\d{2})(?:[.,](\d+))?)?\s*([Zz]|UTC|GMT|[+-]\d{2}(?::?\d{2})?)?$/;
/** `05/06/2026`, `9-May-2026`, `9 May 2026`, `May 9, 2026`. */
const DATE =
  /(?:\d{1,4}[./-]\d{1,2}[./-]\d{1,4}|\d{1,2}[ .-]?[A-Za-z]{3,9}[ .-]?\d{2,4}|[A-Za-z]{3,9} \d{1,2},? \d{4})[T _,]+/;
const TIME_OF_DAY = new RegExp(
  `^(?:${DATE.source})?(?:(\\d+) days?,? )?(\\d{1,2}):(\\d{2}):(\\d{2})(?:[.,:](\\d+))?(?:\\s*([AaPp])\\.?[Mm]\\.?)?(?: ?(?:UTC|GMT|Z))?$`,
);
/** Spreadsheets show the time of day without its hours: `30:01.250`. */
const MINUTES = /^(\d{1,2}):(\d{2})[.,](\d+)$/;

/**
 * Reads ISO 8601 and RFC 3339 stamps of any precision, in basic (`20251125T052135Z`) and extended form, with a
 * point or a comma before the fraction, and with a blank instead of the T. 24:00:00 is the next midnight
 * (ISO 8601-1:2019/Amd 1:2022). A leap second, `:60`, is taken as the second after `:59`, as POSIX clocks do, and
 * marked. Returns null for any other text and for dates that do not exist.
 * Source: RFC 3339, section 5.6.
 */
export function parseIso8601(text: string): Moment | null {
  const match = DATE_TIME.exec(text.trim());
  if (!match) return null;
  const [year, month, day, hour, minute] = [match[1], match[3], match[4], match[5], match[7]].map(
    Number,
  ) as number[];
  const second = Number(match[8] ?? 0);
  const micros = fractionMicros(match[9]);
  const offset = offsetMinutes(match[10]);
  if (offset === null || !dateExists(year!, month!, day!) || !clockExists(hour!, minute!, second, micros))
    return null;
  const days = daysFromEpoch(year!, month!, day!);
  const seconds = days * 86_400 + hour! * 3600 + (minute! - offset) * 60 + second;
  return { seconds, micros, isLeapSecond: second === 60 };
}

/**
 * Reads `23:59:59.123456`, `11:59:59 PM`, `1 days 00:00:02`, `30:01.250` (minutes), and the clock of dates whose order
 * cannot be known (`05/06/2025 12:00:00`): microseconds since midnight, or null.
 */
export function parseTimeOfDay(text: string): number | null {
  const match = TIME_OF_DAY.exec(text.trim());
  if (!match) return parseMinutes(text.trim());
  const [shown, minute, second] = [match[2], match[3], match[4]].map(Number) as number[];
  const half = match[6]?.toLowerCase();
  const hour = half === undefined ? shown! : (shown! % 12) + (half === 'p' ? 12 : 0);
  if (!clockExists(hour, minute!, second!, 0) || (half !== undefined && shown! > 12)) return null;
  const hours = hour + 24 * Number(match[1] ?? 0);
  return (hours * 3600 + minute! * 60 + second!) * 1e6 + fractionMicros(match[5]);
}

function parseMinutes(text: string): number | null {
  const match = MINUTES.exec(text);
  if (!match || Number(match[1]) > 59 || Number(match[2]) > 59) return null;
  return (Number(match[1]) * 60 + Number(match[2])) * 1e6 + fractionMicros(match[3]);
}

/** ISO 8601 text in UTC, to the microsecond. */
export function formatMoment(seconds: number, micros: number): string {
  const whole = seconds + Math.floor(micros / 1e6);
  const rest = Math.round(micros - Math.floor(micros / 1e6) * 1e6);
  return new Date(whole * 1000).toISOString().replace(/\.\d+Z$/, `.${String(rest).padStart(6, '0')}Z`);
}

function fractionMicros(digits: string | undefined): number {
  return digits === undefined ? 0 : Number(`${digits.slice(0, 6).padEnd(6, '0')}.${digits.slice(6) || '0'}`);
}

function offsetMinutes(text: string | undefined): number | null {
  if (text === undefined || /^([Zz]|UTC|GMT)$/.test(text)) return 0;
  const hours = Number(text.slice(1, 3));
  const minutes = Number(text.slice(3).replace(':', '') || 0);
  if (hours > 23 || minutes > 59) return null;
  return (text[0] === '-' ? -1 : 1) * (hours * 60 + minutes);
}

function clockExists(hour: number, minute: number, second: number, micros: number): boolean {
  if (hour === 24) return minute === 0 && second === 0 && micros === 0;
  return hour < 24 && minute < 60 && second <= 60;
}

function dateExists(year: number, month: number, day: number): boolean {
  const isLeap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const lengths = [31, isLeap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  return month >= 1 && month <= 12 && day >= 1 && day <= lengths[month - 1]!;
}

/** Source: counting years from March, so that the leap day comes last (common practice). */
function daysFromEpoch(year: number, month: number, day: number): number {
  const y = month <= 2 ? year - 1 : year;
  const dayOfYear = Math.floor((153 * ((month + 9) % 12) + 2) / 5) + day - 1;
  return y * 365 + Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400) + dayOfYear - 719_468;
}
