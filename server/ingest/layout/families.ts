import type { NamedColumn } from './triples.ts';

/**
 * Neighbouring columns whose names differ in a final number or letter only, which counts up by one: `w1, w2, w3`, or
 * `ux, uy, uz`. Every column is in one family, be it alone.
 */
export function cutFamilies(columns: readonly NamedColumn[]): NamedColumn[][] {
  const families: NamedColumn[][] = [];
  for (const column of columns) {
    const last = families.at(-1);
    if (last && isNext(last.at(-1)!, column)) last.push(column);
    else families.push([column]);
  }
  return families;
}

/** True where the second column stands right behind the first one in the file. */
export function areNeighbours(before: NamedColumn, column: NamedColumn): boolean {
  return before.file === column.file && before.index + 1 === column.index;
}

function isNext(before: NamedColumn, column: NamedColumn): boolean {
  const [a, b] = [partsOf(before.name), partsOf(column.name)];
  return areNeighbours(before, column) && a.stem === b.stem && a.place + 1 === b.place;
}

/** A name without its unit, and what it counts by; NaN where it does not count. */
function partsOf(name: string): { stem: string; place: number } {
  const bare = name
    .replace(/[([{<].*$/, '')
    .trim()
    .toLowerCase();
  const [, stem = bare, end = ''] = /^(.*?)(\d+|[a-z])$/.exec(bare) ?? [];
  return { stem, place: /^\d/.test(end) ? Number(end) : end === '' ? Number.NaN : end.charCodeAt(0) };
}
