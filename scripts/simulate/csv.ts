import { GRAVITY_MPS2 } from './rigidBody.ts';
import type { SimulatedTake } from './take.ts';

/** How a logger writes its rows down. */
export interface CsvDialect {
  readonly delimiter: ',' | ';' | '\t';
  readonly decimal: '.' | ',';
  readonly newline: '\n' | '\r\n';
  readonly byteOrderMark: boolean;
  readonly quotedHeader: boolean;
  /** Lines above the header, each with its mark. */
  readonly preamble: readonly string[];
  readonly time: {
    readonly name: string;
    readonly unit: 's' | 'ms' | 'us' | 'ns' | 'iso8601';
    readonly digits: number;
    /** Unix milliseconds of the first sample; 0 for a clock that starts with the log. */
    readonly startMs: number;
  };
  /** Names of x, y, z. */
  readonly gyro: ColumnTriple & { readonly unit: 'deg/s' | 'mdeg/s' | 'rad/s' | 'codes' };
  readonly accel: ColumnTriple & { readonly unit: 'g' | 'mg' | 'm/s2' | 'codes' };
  readonly gyroFirst: boolean;
  readonly buttons: ButtonStyle;
  /** A column with the name of the drill that runs; null for none. */
  readonly labelColumn: string | null;
}

/**
 * `level`: a column for each button, named like it, 0 or 1; `trueFalse`: the same in words; `edge`: one column for all,
 * which says `power down` or `power up` on the row where it happened and nothing elsewhere.
 */
type ButtonStyle =
  | { readonly style: 'level' | 'trueFalse'; readonly names: readonly string[] }
  | { readonly style: 'edge'; readonly column: string };

interface ColumnTriple {
  readonly names: readonly [string, string, string];
  readonly digits: number;
}

type Cell = (row: number) => string;

/** The log of a take as one text, in the given dialect. */
export function writeCsv(take: SimulatedTake, dialect: CsvDialect): string {
  const columns = listColumns(take, dialect);
  const quote = dialect.quotedHeader ? '"' : '';
  const header = columns.map(([name]) => `${quote}${name}${quote}`).join(dialect.delimiter);
  const lines = [...dialect.preamble, header];
  const rows = take.log.timeUs.length;
  for (let i = 0; i < rows; ++i) lines.push(columns.map(([, cell]) => cell(i)).join(dialect.delimiter));
  return `${dialect.byteOrderMark ? '\uFEFF' : ''}${lines.join(dialect.newline)}${dialect.newline}`;
}

function listColumns(take: SimulatedTake, dialect: CsvDialect): [string, Cell][] {
  const { log } = take;
  const gyro = [log.gyroXDps, log.gyroYDps, log.gyroZDps].map((column, k): [string, Cell] => [
    dialect.gyro.names[k]!,
    numberCell(column, gyroFactor(take, dialect), dialect.gyro.digits, dialect.decimal),
  ]);
  const accel = [log.accelXG, log.accelYG, log.accelZG].map((column, k): [string, Cell] => [
    dialect.accel.names[k]!,
    numberCell(column, accelFactor(take, dialect), dialect.accel.digits, dialect.decimal),
  ]);
  return [
    [dialect.time.name, timeCell(log.timeUs, dialect)],
    ...(dialect.gyroFirst ? [...gyro, ...accel] : [...accel, ...gyro]),
    ...buttonColumns(take, dialect.buttons),
    ...(dialect.labelColumn === null ? [] : [labelColumn(take, dialect.labelColumn)]),
  ];
}

function gyroFactor(take: SimulatedTake, dialect: CsvDialect): number {
  switch (dialect.gyro.unit) {
    case 'deg/s':
      return 1;
    case 'mdeg/s':
      return 1000;
    case 'rad/s':
      return Math.PI / 180;
    case 'codes':
      return codesPerUnit(take, 'gyroRangeDps');
  }
}

function accelFactor(take: SimulatedTake, dialect: CsvDialect): number {
  switch (dialect.accel.unit) {
    case 'g':
      return 1;
    case 'mg':
      return 1000;
    case 'm/s2':
      return GRAVITY_MPS2;
    case 'codes':
      return codesPerUnit(take, 'accelRangeG');
  }
}

function codesPerUnit(take: SimulatedTake, range: 'gyroRangeDps' | 'accelRangeG'): number {
  const full = take.truth.sensor[range];
  if (full === null) throw new RangeError('a sensor without steps has no codes to write');
  return 32767 / full;
}

function numberCell(column: Float64Array, factor: number, digits: number, decimal: '.' | ','): Cell {
  return (row) => {
    const text = (column[row]! * factor).toFixed(digits);
    const plain = text.startsWith('-0') && Number(text) === 0 ? text.slice(1) : text;
    return decimal === ',' ? plain.replace('.', ',') : plain;
  };
}

function timeCell(timeUs: Float64Array, dialect: CsvDialect): Cell {
  const { unit, digits, startMs } = dialect.time;
  if (unit === 'iso8601') return (row) => isoStamp(startMs, timeUs[row]!, digits);
  if (unit === 'ns') return (row) => String((BigInt(startMs) * 1000n + BigInt(timeUs[row]!)) * 1000n);
  const usPerUnit = { s: 1e6, ms: 1e3, us: 1 }[unit];
  const start = (startMs * 1000) / usPerUnit;
  return (row) => {
    const text = (start + timeUs[row]! / usPerUnit).toFixed(digits);
    return dialect.decimal === ',' ? text.replace('.', ',') : text;
  };
}

/** `2026-05-09T17:30:00.010000Z`, with `digits` of the second's fraction. */
function isoStamp(startMs: number, timeUs: number, digits: number): string {
  const us = startMs * 1000 + timeUs;
  const second = new Date(Math.floor(us / 1e6) * 1000).toISOString().slice(0, 19);
  return `${second}.${String(us % 1e6)
    .padStart(6, '0')
    .slice(0, digits)}Z`;
}

function buttonColumns(take: SimulatedTake, buttons: ButtonStyle): [string, Cell][] {
  const { timeUs } = take.log;
  if (buttons.style === 'edge') {
    const events = new Map<number, string>();
    for (const { button, downUs, upUs } of take.presses) {
      events.set(downUs, `${button} down`);
      events.set(upUs!, `${button} up`);
    }
    return [[buttons.column, (row) => events.get(timeUs[row]!) ?? '']];
  }
  const [yes, no] = buttons.style === 'level' ? ['1', '0'] : ['true', 'false'];
  return buttons.names.map((name): [string, Cell] => {
    const own = take.presses.filter((press) => press.button === name);
    const isDown = (us: number) => own.some((press) => press.downUs <= us && us < press.upUs!);
    return [name, (row) => (isDown(timeUs[row]!) ? yes : no)];
  });
}

function labelColumn(take: SimulatedTake, name: string): [string, Cell] {
  const { timeUs } = take.log;
  const drills = take.truth.spans.filter((span) => span.kind !== 'spinning');
  const at = (us: number) => drills.find((span) => span.startUs <= us && us < span.endUs)?.kind ?? '';
  return [name, (row) => at(timeUs[row]!)];
}
