import type { ColumnSample } from './columnSample.ts';
import type { NameReading, Trait } from './names.ts';

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
  readonly score: number;
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
  return indices.flatMap((index) => columns.find((own) => own.file === file && own.index === index) ?? []);
}

const TRAIT_SCORE: Readonly<Record<Trait, number>> = {
  calibrated: 0.5,
  raw: -2,
  estimated: -1.5,
  noGravity: -3,
  otherFrame: -6,
  uncalibrated: -2,
  secondary: -4,
};

/** Every complete triple among the named columns, the best first. */
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
  return triples.sort((a, b) => b.score - a.score || a.file - b.file || a.indices[0] - b.indices[0]);
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
  const statedUnit = named ?? rowUnit;
  const codes = reading.codes || rowCodes;
  let score = 0;
  for (const trait of reading.traits) score += TRAIT_SCORE[trait];
  if (statedUnit !== null) score += 1;
  if (codes) score -= 1.5;
  if (columns.some(({ sample }) => sample.missingShare > 0.5)) score -= 8;
  if (columns.every(({ sample }) => isConstant(sample))) score -= 8;
  return {
    kind,
    file,
    indices: columns.map(({ index }) => index) as unknown as [number, number, number],
    group: reading.group,
    traits: reading.traits,
    statedUnit,
    codes,
    score,
  };
}

function isConstant({ distinct, values }: ColumnSample): boolean {
  return distinct.length < 2 && values.length > 1;
}

/** The pair whose scores add up highest; columns of one device (a shared word) and of one make are preferred. */
export function bestPair(
  accel: readonly Triple[],
  gyro: readonly Triple[],
): { accel: Triple | null; gyro: Triple | null } {
  let best: { accel: Triple; gyro: Triple; score: number } | null = null;
  for (const a of accel) {
    for (const g of gyro) {
      const likeness = (shareWord(a.group, g.group) ? 0.25 : 0) + (isSameMake(a, g) ? 0.75 : 0);
      const score = a.score + g.score + likeness + (a.file === g.file ? 0.1 : 0);
      if (!best || score > best.score) best = { accel: a, gyro: g, score };
    }
  }
  return { accel: best?.accel ?? accel[0] ?? null, gyro: best?.gyro ?? gyro[0] ?? null };
}

/** Raw goes with raw: estimates may stand in another frame, or lag. */
function isSameMake(a: Triple, b: Triple): boolean {
  return a.traits.join() === b.traits.join();
}

function shareWord(a: string, b: string): boolean {
  const words = new Set(a.split(' '));
  return b.split(' ').some((word) => word !== '' && words.has(word));
}
