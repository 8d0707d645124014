import { readName } from '../ground/names.ts';
import { type PrintedCell, printedCells } from './printedCells.ts';
import { type LineRewrite, REWRITTEN_AWAY } from './rewrite.ts';

const LINES_AT_LEAST = 12;
const KINDS_AT_MOST = 12;
/** Lines of a kind that is rarer than this part of the commonest belong to no sample. */
const COMMON = 0.6;
const MOST = 0.7;

/** Which lines make up a sample. */
interface Layout {
  /** Names of the cells in each kind of line, by that kind's key. */
  readonly kinds: ReadonlyMap<string, readonly string[]>;
  /** Lines without a number that stand between all samples. */
  readonly dividers: ReadonlySet<string>;
  readonly header: readonly string[];
  /** Every kind of line has a time of its own: each becomes a row. */
  readonly hasTimes: boolean;
}

/**
 * What programs print for people to read: one line a sample or several (`Accel X: 0.1, Y: 0.2, Z: 9.8 m/s^2`, then a line of
 * the gyroscope, of the temperature, a blank one), with names, units and brackets. The lines of one sample become a row. null
 * where the lines are not so.
 */
export function readPrintedLines(lines: readonly string[]): LineRewrite | null {
  const layout = findLayout(lines);
  if (!layout) return null;
  const rewriter = new SampleRewriter(layout);
  const header = layout.header.map((name) => `"${name}"`).join(',');
  return { header, line: (line) => rewriter.line(line) };
}

function findLayout(lines: readonly string[]): Layout | null {
  // Most logs are rows of cells: one look at some lines of their middle tells.
  const probe = lines.slice(lines.length >> 1, (lines.length >> 1) + 12).filter((line) => line.trim() !== '');
  if (!probe.some((line) => /\p{L}/u.test(line.replace(/\d[eE]|nan/gi, '')))) return null;
  const counts = new Map<string, { names: readonly string[]; count: number }>();
  const words = new Map<string, number>();
  let numeric = 0;
  for (const line of lines) {
    if (line.trim() === '') continue;
    const cells = printedCells(line);
    if (cells?.length === 0) words.set(line.trim(), (words.get(line.trim()) ?? 0) + 1);
    else ++numeric;
    if (cells === null || cells.length === 0) continue;
    const known = counts.get(keyOf(cells));
    counts.set(keyOf(cells), { names: cells.map(({ name }) => name), count: (known?.count ?? 0) + 1 });
  }
  const most = Math.max(0, ...[...counts.values()].map(({ count }) => count));
  const common = [...counts].filter(([, { count }]) => count >= COMMON * most);
  const covered = common.reduce((sum, [, { count }]) => sum + count, 0);
  if (most < LINES_AT_LEAST || common.length > KINDS_AT_MOST || covered < MOST * numeric) return null;
  const kinds = new Map(common.map(([key, { names }]) => [key, names]));
  const dividers = new Set([...words].filter(([, count]) => count >= COMMON * most).map(([text]) => text));
  return layoutOf(kinds, dividers);
}

function layoutOf(
  kinds: ReadonlyMap<string, readonly string[]>,
  dividers: ReadonlySet<string>,
): Layout | null {
  const isTime = (name: string) => readName(name).kind === 'time';
  const hasTimes = kinds.size > 1 && [...kinds.values()].every((names) => names.some(isTime));
  const all = [...kinds.values()].flat();
  const header = [
    ...(hasTimes ? [all.find(isTime)!] : []),
    ...all.filter((name) => !hasTimes || !isTime(name)),
  ];
  const motion = header.filter((name) => {
    const { kind, axis } = readName(name);
    return (kind === 'accel' || kind === 'gyro') && axis !== null;
  });
  // A table whose cells hold words by chance names no axis of a sensor three times.
  return motion.length >= 3 && new Set(header).size === header.length
    ? { kinds, dividers, header, hasTimes }
    : null;
}

function keyOf(cells: readonly PrintedCell[]): string {
  return cells.map(({ name }) => name).join('\0');
}

/** Gathers the lines of a sample; the last of them becomes its row. */
class SampleRewriter {
  private readonly layout: Layout;
  private readonly values = new Map<string, readonly string[]>();
  private hasBegun = false;

  constructor(layout: Layout) {
    this.layout = layout;
  }

  line(line: string): string {
    if (line.trim() === '' || this.layout.dividers.has(line.trim())) return REWRITTEN_AWAY;
    const cells = printedCells(line);
    const key = cells ? keyOf(cells) : '';
    const names = this.layout.kinds.get(key);
    // What is said before the first sample may state a range; later on it is a bad row, which the report names.
    if (!cells || !names) return this.hasBegun ? line : `# ${line.trim()}`;
    this.hasBegun = true;
    const values = cells.map(({ value }) => value);
    if (this.layout.hasTimes) return this.rowOf(new Map([[key, values]]));
    const isTorn = this.values.has(key);
    const torn = isTorn ? this.rowOf(this.values) : REWRITTEN_AWAY;
    if (isTorn) this.values.clear();
    this.values.set(key, values);
    if (this.values.size < this.layout.kinds.size) return torn;
    const row = this.rowOf(this.values);
    this.values.clear();
    return row;
  }

  private rowOf(values: ReadonlyMap<string, readonly string[]>): string {
    const byName = new Map<string, string>();
    for (const [key, own] of values)
      for (const [i, name] of this.layout.kinds.get(key)!.entries()) byName.set(this.columnOf(name), own[i]!);
    return this.layout.header.map((name) => byName.get(name) ?? '').join(',');
  }

  private columnOf(name: string): string {
    const { header, hasTimes } = this.layout;
    return hasTimes && !header.includes(name) ? header[0]! : name;
  }
}
