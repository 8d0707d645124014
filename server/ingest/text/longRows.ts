import { readName } from '../ground/names.ts';
import { isNumber } from './cells.ts';
import { readDialect } from './dialect.ts';
import { splitRecord } from './records.ts';
import { type LineRewrite, REWRITTEN_AWAY } from './rewrite.ts';

/** `other` has no place in the table: a magnetometer, the header. */
type Sensor = 'accel' | 'gyro' | 'button' | 'other';

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
  const { others, names, delimiter } = layout;
  const axes = ['accel', 'gyro'].flatMap((sensor) => ['x', 'y', 'z'].map((axis) => `${sensor} ${axis}`));
  const header = [...others.map((i) => names[i]!), ...axes, ...(hasButton(layout) ? ['button event'] : [])];
  return {
    header: header.map((name) => name.replaceAll(delimiter, ' ')).join(delimiter),
    line: (line) => spreadRow(line, layout),
  };
}

/** A row of a kind that did not come before goes as it is: it will be a bad row, which the report names. */
function spreadRow(line: string, layout: LongLayout): string {
  const { delimiter, tag, sensors, values, others } = layout;
  const fields = splitRecord(line, delimiter);
  const sensor = typeof fields === 'string' ? undefined : sensors.get((fields[tag] ?? '').trim());
  if (typeof fields === 'string' || sensor === undefined) return line;
  if (sensor === 'other') return REWRITTEN_AWAY;
  const measured = values.map((i) => fields[i] ?? '');
  const none = values.map(() => '');
  const button = hasButton(layout) ? [sensor === 'button' ? eventIn(measured[0]!) : ''] : [];
  const cells = [
    ...(sensor === 'accel' ? measured : none),
    ...(sensor === 'gyro' ? measured : none),
    ...button,
  ];
  return [...others.map((i) => fields[i] ?? ''), ...cells].join(delimiter);
}

function hasButton({ sensors }: LongLayout): boolean {
  return [...sensors.values()].includes('button');
}

function eventIn(cell: string): string {
  const value = Number(cell);
  return cell.trim() === '' || Number.isNaN(value) ? cell : value > 0 ? 'down' : 'up';
}

function findLayout(lines: readonly string[]): LongLayout | null {
  const { dialect, records } = readDialect(lines.join('\n'));
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
    if (top) sensors.set(top[tag]!.trim(), 'other');
    const names = Array.from({ length: width }, (_, i) => top?.[i]?.trim() || guessedName(data, i));
    return { delimiter: dialect.delimiter, tag, sensors, values, others, names };
  }
  return null;
}

/** What the texts of a column mean, where they name both sensors often enough. */
function sensorsIn(cells: readonly string[]): Map<string, Sensor> | null {
  const counts = new Map<string, number>();
  for (const cell of cells) counts.set(cell, (counts.get(cell) ?? 0) + 1);
  if (counts.size > TAGS_AT_MOST) return null;
  const found = new Map<string, Sensor>();
  for (const [text, count] of counts) {
    const { kind, traits } = readName(text);
    const isPlain = !traits.some((trait) => trait !== 'calibrated' && trait !== 'raw');
    const isMotion = (kind === 'accel' || kind === 'gyro') && isPlain && count >= SHARE * cells.length;
    found.set(text, isMotion ? kind : kind === 'button' ? 'button' : 'other');
  }
  const all = [...found.values()];
  // Two names for one sensor: nothing tells which to take.
  const isClear = (['accel', 'gyro'] as const).every(
    (sensor) => all.filter((other) => other === sensor).length === 1,
  );
  return isClear ? found : null;
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
