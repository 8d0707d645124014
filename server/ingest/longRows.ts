import { isNumber } from './cells.ts';
import { readDialect } from './dialect.ts';
import type { LineRewrite } from './lineRewrite.ts';
import { readName } from './names.ts';
import { splitRecord } from './records.ts';

type Sensor = 'accel' | 'gyro';

/** Where a row of one sensor keeps what. */
interface LongLayout {
  readonly delimiter: string;
  /** Column that names the sensor, and the sensor that each of its texts means. */
  readonly tag: number;
  readonly sensors: ReadonlyMap<string, Sensor>;
  /** Columns of x, y and z. */
  readonly values: readonly number[];
  /** All the other columns. */
  readonly others: readonly number[];
  readonly names: readonly string[];
}

const SHARE = 0.05;
const TAGS_AT_MOST = 12;
const ROWS_AT_LEAST = 12;

/**
 * Rows that hold one sensor each, told apart by a column (`time,accelerometer,x,y,z`): each becomes a row with columns
 * for both sensors, the other's left empty. Rows of further sensors become blank lines. null where the lines are not so.
 */
export function readLongRows(lines: readonly string[]): LineRewrite | null {
  // Most logs hold numbers alone: they need no closer look.
  const layout = lines.slice(-20).some((line) => /[\p{L}]/u.test(line.replace(/\d[eE]|nan/gi, '')))
    ? findLayout(lines)
    : null;
  if (!layout) return null;
  const { others, names } = layout;
  const header = [
    ...others.map((i) => names[i]!),
    'accel x',
    'accel y',
    'accel z',
    'gyro x',
    'gyro y',
    'gyro z',
  ];
  return {
    header: header.map((name) => name.replaceAll(layout.delimiter, ' ')).join(layout.delimiter),
    line: (line) => spreadRow(line, layout),
  };
}

function spreadRow(line: string, { delimiter, tag, sensors, values, others }: LongLayout): string {
  const fields = splitRecord(line, delimiter);
  const sensor = typeof fields === 'string' ? undefined : sensors.get((fields[tag] ?? '').trim());
  if (typeof fields === 'string' || sensor === undefined) return '';
  const own = values.map((i) => fields[i] ?? '');
  const none = values.map(() => '');
  const cells = sensor === 'accel' ? [...own, ...none] : [...none, ...own];
  return [...others.map((i) => fields[i] ?? ''), ...cells].join(delimiter);
}

function findLayout(lines: readonly string[]): LongLayout | null {
  const { dialect, records } = readDialect(lines.slice(0, 400).join('\n'));
  const rows = records.map(({ fields }) => fields);
  const width = rows.at(-1)?.length ?? 0;
  const data = rows.filter(
    (fields) => fields.length === width && fields.some((cell) => isNumber(cell, dialect.decimal)),
  );
  if (data.length < ROWS_AT_LEAST || width < 5 || dialect.delimiter === ' ') return null;
  for (let tag = 0; tag < width; ++tag) {
    const sensors = sensorsIn(data.map((fields) => fields[tag]!.trim()));
    if (!sensors) continue;
    const top = rows[0] === data[0] || rows[0]!.length !== width ? null : rows[0]!;
    const values = valueColumns(top, data, tag, dialect.decimal);
    if (values === null) return null;
    const others = Array.from({ length: width }, (_, i) => i).filter((i) => i !== tag && !values.includes(i));
    const names = Array.from({ length: width }, (_, i) => top?.[i]?.trim() || guessedName(data, i));
    return { delimiter: dialect.delimiter, tag, sensors, values, others, names };
  }
  return null;
}

/** What the texts of a column mean, where they name both sensors often enough. */
function sensorsIn(cells: readonly string[]): ReadonlyMap<string, Sensor> | null {
  const counts = new Map<string, number>();
  for (const cell of cells) counts.set(cell, (counts.get(cell) ?? 0) + 1);
  if (counts.size > TAGS_AT_MOST) return null;
  const found = new Map<string, Sensor>();
  const taken = new Map<Sensor, string>();
  for (const [text, count] of counts) {
    const { kind, traits } = readName(text);
    const isPlain = !traits.some((trait) => trait !== 'calibrated' && trait !== 'raw');
    if ((kind !== 'accel' && kind !== 'gyro') || count < SHARE * cells.length || !isPlain) continue;
    // Two names for one sensor: nothing tells which to take.
    if (taken.has(kind)) return null;
    taken.set(kind, text);
    found.set(text, kind);
  }
  return found.size === 2 ? found : null;
}

/** Columns named x, y, z; without names the first three numeric columns that do not rise all the time. */
function valueColumns(
  top: readonly string[] | null,
  data: readonly (readonly string[])[],
  tag: number,
  decimal: '.' | ',',
): number[] | null {
  const named = [0, 1, 2].map((axis) => top?.findIndex((name) => readName(name).axis === axis) ?? -1);
  if (named.every((index) => index >= 0)) return named;
  const free: number[] = [];
  for (let i = 0; i < data[0]!.length && free.length < 3; ++i) {
    const isNumeric = data.every((fields) => fields[i]!.trim() === '' || isNumber(fields[i]!, decimal));
    if (i !== tag && isNumeric && !isRising(data, i)) free.push(i);
  }
  return free.length === 3 ? free : null;
}

function guessedName(data: readonly (readonly string[])[], index: number): string {
  return isRising(data, index) ? 'time' : `field ${index + 1}`;
}

function isRising(data: readonly (readonly string[])[], index: number): boolean {
  const values = data.map((fields) => Number(fields[index]!.replace(',', '.')));
  const back = values.filter((value, i) => i > 0 && value < values[i - 1]!).length;
  return values.at(-1)! > values[0]! && back * 10 < values.length;
}
