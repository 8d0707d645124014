import type { LineRewrite } from './rewrite.ts';

/** The number of a cell that names itself, with what parts it from its name. */
const VALUE = /[:=]\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)(?=[\s,;|]|$)/g;
/** What stands in no name. */
const NO_NAME = /[^\p{L}\p{N} _./°²^()[\]-]/u;
const STAMP = /^\s*\[?(\d{1,2}:\d{2}:\d{2}[.,]\d+)\]?\s*(?:->|>|:)?\s+/;
const CELLS_AT_LEAST = 3;
const LINES_AT_LEAST = 3;
const MOST = 0.6;

/**
 * Lines that a terminal has stamped with the time of day (`12:00:01.250 -> 0.1,0.2`): the stamp becomes a cell. null
 * where most lines are not so.
 */
export function stampedLines(lines: readonly string[]): LineRewrite | null {
  const filled = lines.filter((line) => line.trim() !== '');
  const stamped = filled.filter((line) => /^\s*\[?\d{1,2}:\d{2}:\d{2}[.,]\d+\]?\s*->\s/.test(line));
  if (stamped.length < LINES_AT_LEAST || stamped.length < MOST * filled.length) return null;
  const bare = stamped.map((line) => line.replace(STAMP, ''));
  const delimiter = [',', ';', '\t'].find(
    (own) => bare.filter((line) => line.includes(own)).length > MOST * bare.length,
  );
  return { header: null, line: (line) => line.replace(STAMP, `$1${delimiter ?? ' '}`) };
}

/**
 * Lines of cells that name themselves (`ax:0.01,ay:0.02`, `t=5 aX=0.1`): the names become the header. null where most
 * lines do not name the same cells in the same order.
 */
export function readLabelled(lines: readonly string[]): LineRewrite | null {
  const counts = new Map<string, number>();
  for (const line of lines) {
    const keys = namesIn(line).join('\0');
    counts.set(keys, (counts.get(keys) ?? 0) + 1);
  }
  const filled = lines.filter((line) => line.trim() !== '').length;
  const [keys, count] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? ['', 0];
  const names = keys.split('\0');
  if (names.length < CELLS_AT_LEAST || count < LINES_AT_LEAST || count < MOST * filled) return null;
  // `Accel: X=1 Y=2 Z=3 Gyro: X=4 ...`: the names alone don't tell the sensors apart.
  if (new Set(names).size < names.length) return null;
  const isStamped = lines.filter((line) => STAMP.test(line)).length > MOST * filled;
  const header = [...(isStamped ? ['time'] : []), ...fullNames(names)].map((name) => `"${name}"`).join(',');
  return { header, line: (line) => toRow(line, names, isStamped) };
}

/**
 * `ax:0.01`, `Accel X = 0.01`: numbers, each with the name before it, which starts with a letter. Numbers are looked
 * for first: one pattern for both tries a name at every letter of a long line of prose.
 */
function cellsIn(line: string): { name: string; value: string }[] {
  let from = 0;
  return [...line.matchAll(VALUE)].flatMap(({ 0: cell, 1: value, index }) => {
    const before = line.slice(from, index).trimEnd().split(NO_NAME).at(-1)!;
    from = index + cell.length;
    const start = before.search(/\p{L}/u);
    return start < 0 ? [] : [{ name: before.slice(start), value: value! }];
  });
}

function namesIn(line: string): string[] {
  return cellsIn(line).map(({ name }) => name);
}

/** A line that names other cells, or too few, goes as it is: it will be a bad row. */
function toRow(line: string, names: readonly string[], isStamped: boolean): string {
  const cells = cellsIn(line);
  const isWhole = cells.length === names.length && cells.every(({ name }, i) => name === names[i]);
  if (!isWhole) return line;
  const stamp = isStamped ? [STAMP.exec(line)?.[1] ?? ''] : [];
  return [...stamp, ...cells.map(({ value }) => value)].join(',');
}

/** `Accel X`, `Y`, `Z`: a bare axis goes with the sensor named before it. A unit before a name belongs to the cell before. */
function fullNames(names: readonly string[]): string[] {
  let sensor = '';
  return names.map((name) => {
    const bare = name.replace(/^(m\/s(\^?2|²|\/s)?|rad\/s|deg\/s|°\/s|dps|m?g|[µu]T|°?C)\s+(?=\p{L})/u, '');
    const axis = /^(.*?)[\s_]*([xyz])$/i.exec(bare);
    if (!axis) return bare;
    if (axis[1] !== '') sensor = axis[1]!;
    return axis[1] === '' && sensor !== '' ? `${sensor} ${axis[2]}` : bare;
  });
}
