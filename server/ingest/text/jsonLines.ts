import { type LineRewrite, REWRITTEN_AWAY } from './rewrite.ts';

const LINES_AT_LEAST = 3;
const MOST = 0.6;
const NAMES_AT_LEAST = 3;
const AXES = ['x', 'y', 'z'] as const;

type Cells = ReadonlyMap<string, string>;

/**
 * One JSON object a line (`{"t":5,"accel":{"x":0.1,...}}`), also as the lines of one array: the keys, with those they stand
 * in, become the header, three numbers in brackets x, y and z. null where most lines are no such objects.
 */
export function readJsonLines(lines: readonly string[]): LineRewrite | null {
  const filled = lines.filter((line) => line.trim() !== '');
  if (!filled.some((line) => line.trimStart().startsWith('{'))) return null;
  const rows = filled.flatMap((line) => cellsOf(line) ?? []);
  if (rows.length < LINES_AT_LEAST || rows.length < MOST * (filled.length - 2)) return null;
  const names = [...new Set(rows.slice(0, 200).flatMap((cells) => [...cells.keys()]))];
  if (names.length < NAMES_AT_LEAST) return null;
  return {
    header: names.map(quoted).join(','),
    line: (line) => {
      const cells = cellsOf(line);
      if (cells) return names.map((name) => quoted(cells.get(name) ?? '')).join(',');
      // The brackets of the array that holds the objects.
      return /^\s*[[\]],?\s*$/.test(line) ? REWRITTEN_AWAY : line;
    },
  };
}

/** Cells by the names of their keys; null where the line is no object. */
function cellsOf(line: string): Cells | null {
  const text = line
    .trim()
    .replace(/^\[\s*(?=\{)/, '')
    .replace(/(?<=\})\s*[,\]]+$/, '');
  if (!text.startsWith('{')) return null;
  try {
    const cells = new Map<string, string>();
    collect(JSON.parse(text), '', cells);
    return cells;
  } catch {
    return null;
  }
}

function collect(value: unknown, name: string, into: Map<string, string>): void {
  if (typeof value !== 'object' || value === null) {
    into.set(name, value === null ? '' : String(value));
    return;
  }
  const isVector = Array.isArray(value) && value.length === 3;
  for (const [key, inner] of Object.entries(value)) {
    const axis = isVector ? AXES[Number(key)]! : key;
    collect(inner, name === '' ? axis : `${name} ${axis}`, into);
  }
}

function quoted(cell: string): string {
  return /[",]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}
