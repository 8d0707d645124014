import type { NameReading, Trait } from '../ground/names.ts';
import type { Vector3Columns } from '../ground/rest.ts';
import { readUnit } from '../ground/units.ts';
import type { ColumnSample } from './columnSample.ts';

/** Three columns that hold x, y and z of one sensor. */
export interface Triple {
  readonly kind: 'accel' | 'gyro';
  readonly file: number;
  /** Columns of x, y, z. */
  readonly indices: readonly [number, number, number];
  readonly group: string;
  readonly traits: readonly Trait[];
  /** Canonical unit that name or units row states, or null. */
  readonly statedUnit: string | null;
  readonly codes: boolean;
}

export interface NamedColumn {
  readonly file: number;
  readonly index: number;
  /** The header's text, or `column 3` (counting from 1) where there is none. */
  readonly name: string;
  readonly reading: NameReading;
  readonly rowUnit: string | null;
  readonly rowCodes: boolean;
  readonly sample: ColumnSample;
}

/** The columns of x, y and z; fewer than three where some are not among these. */
export function columnsOf({ file, indices }: Triple, columns: readonly NamedColumn[]): NamedColumn[] {
  return indices.flatMap(
    (index) => columns.find((column) => column.file === file && column.index === index) ?? [],
  );
}

/** Every complete triple among the named columns, in the order of the file. */
export function findTriples(columns: readonly NamedColumn[], kind: 'accel' | 'gyro'): Triple[] {
  const groups = new Map<string, NamedColumn[]>();
  for (const column of columns) {
    if (column.reading.kind !== kind || column.sample.kind !== 'number') continue;
    const unit = column.reading.unit?.unit ?? column.rowUnit ?? '';
    const key = `${column.file} ${column.reading.group} ${unit}`;
    const group = groups.get(key);
    if (group) group.push(column);
    else groups.set(key, [column]);
  }
  const triples: Triple[] = [];
  for (const group of groups.values()) triples.push(...splitTriples(group, kind));
  return triples.sort((a, b) => a.file - b.file || a.indices[0] - b.indices[0]);
}

/** The same name may come twice (two sensors side by side): the n-th x, y and z belong together. */
function splitTriples(group: readonly NamedColumn[], kind: 'accel' | 'gyro'): Triple[] {
  const digits = group.map(({ reading }) => reading.digit).filter((digit) => digit !== null);
  const firstDigit = Math.min(...digits);
  const byAxis: NamedColumn[][] = [[], [], []];
  for (const column of group) {
    const axis =
      column.reading.axis ?? (column.reading.digit === null ? null : column.reading.digit - firstDigit);
    if (axis !== null && axis < 3) byAxis[axis]!.push(column);
  }
  const count = Math.min(...byAxis.map((columns) => columns.length));
  return Array.from({ length: count }, (_, n) =>
    makeTriple(
      kind,
      byAxis.map((columns) => columns[n]!),
    ),
  );
}

function makeTriple(kind: 'accel' | 'gyro', columns: readonly NamedColumn[]): Triple {
  const { file, reading, rowUnit, rowCodes } = columns[0]!;
  const named = reading.unit?.quantity === kind ? reading.unit.unit : null;
  const statedUnit = named ?? (rowUnit !== null && readUnit(rowUnit, kind) ? rowUnit : null);
  const codes = reading.codes || rowCodes;
  return {
    kind,
    file,
    indices: columns.map(({ index }) => index) as unknown as [number, number, number],
    group: reading.group,
    traits: reading.traits,
    statedUnit,
    codes,
  };
}

/** The rows of the head in which all three are there: sensors may take turns, row by row. */
export function vectorOf(columns: readonly NamedColumn[]): Vector3Columns {
  const isWhole = (_: number, row: number) =>
    columns.every(({ sample }) => !Number.isNaN(sample.values[row]!));
  const [x, y, z] = columns.map(({ sample }) => sample.values.filter(isWhole));
  return { x: x!, y: y!, z: z! };
}
