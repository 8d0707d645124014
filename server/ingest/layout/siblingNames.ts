import type { NamedColumn } from './triples.ts';

/** The angular rates about x, y and z in flight mechanics (ISO 1151-1, cited from memory). */
const RATES = ['p', 'q', 'r'] as const;

/** Names that mean something only side by side: p, q and r are rates where all three are there, and nothing else. */
export function readSiblings(columns: readonly NamedColumn[]): NamedColumn[] {
  const places = RATES.map((letter) =>
    columns.findIndex(
      ({ name, reading }) => reading.kind === 'unknown' && name.trim().toLowerCase() === letter,
    ),
  );
  if (places.some((place) => place < 0) || places[1] !== places[0]! + 1 || places[2] !== places[0]! + 2)
    return [...columns];
  return columns.map((column, i) => {
    const axis = places.indexOf(i);
    if (axis < 0) return column;
    return { ...column, reading: { ...column.reading, kind: 'gyro', axis: axis as 0 | 1 | 2, group: 'pqr' } };
  });
}
