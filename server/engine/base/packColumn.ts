/**
 * A column in fewer bytes, to the bit. A sensor of 16 bits knows at most 65,536 values: a table of them and two bytes a
 * sample say the same as eight bytes a sample. A clock in whole microseconds is told by its steps, four bytes each.
 */
export type PackedColumn =
  | { readonly as: 'plain'; readonly values: Float64Array }
  | { readonly as: 'table'; readonly table: Float64Array; readonly places: Uint16Array }
  | { readonly as: 'steps'; readonly first: number; readonly steps: Uint32Array };

const MOST_ENTRIES = 65_536;
/** A power of two, and so large that a full table leaves half of it empty. */
const SLOTS = 2 * MOST_ENTRIES;
const LARGEST_STEP = 2 ** 32 - 1;

/** As a table where that is smaller, otherwise plain. */
export function packValues(values: Float64Array): PackedColumn {
  const places = new Uint16Array(values.length);
  // Eight bytes an entry must leave something of the six a sample that are saved.
  const most = Math.min(MOST_ENTRIES, Math.floor(values.length * 0.5));
  const table = fillTable(values, places, most);
  return table === null ? { as: 'plain', values } : { as: 'table', table, places };
}

/** As steps where all are whole and none falls, otherwise plain. */
export function packTimes(values: Float64Array): PackedColumn {
  const first = values[0] ?? 0;
  if (!Number.isSafeInteger(first) || Object.is(first, -0)) return { as: 'plain', values };
  const steps = new Uint32Array(values.length);
  for (let i = 1; i < values.length; ++i) {
    const step = values[i]! - values[i - 1]!;
    const isTold = Number.isInteger(step) && step >= 0 && step <= LARGEST_STEP;
    if (!isTold || !Number.isSafeInteger(values[i])) return { as: 'plain', values };
    steps[i] = step;
  }
  return { as: 'steps', first, steps };
}

/**
 * The values again, to the bit; a plain column's own array.
 * @param makeOut  gives what they are written to, of their number.
 */
export function unpackColumn(
  packed: PackedColumn,
  makeOut: (length: number) => Float64Array = (length) => new Float64Array(length),
): Float64Array {
  switch (packed.as) {
    case 'plain':
      return packed.values;
    case 'table': {
      const { table, places } = packed;
      const out = makeOut(places.length);
      for (let i = 0; i < out.length; ++i) out[i] = table[places[i]!]!;
      return out;
    }
    case 'steps': {
      const { first, steps } = packed;
      const out = makeOut(steps.length);
      let value = first;
      for (let i = 0; i < out.length; ++i) {
        value += steps[i]!;
        out[i] = value;
      }
      return out;
    }
  }
}

/** The values in the order of their first sample, with each sample's place among them; null if there are too many. */
function fillTable(values: Float64Array, places: Uint16Array, most: number): Float64Array | null {
  const words = new Uint32Array(values.buffer, values.byteOffset, 2 * values.length);
  const table = new Float64Array(most);
  const tableWords = new Uint32Array(table.buffer);
  /** 1 + place in the table; 0 is empty. By the bits: -0 is not 0. */
  const slots = new Int32Array(SLOTS);
  let entries = 0;
  for (let i = 0; i < values.length; ++i) {
    const [low, high] = [words[2 * i]!, words[2 * i + 1]!];
    let slot = (Math.imul(low ^ Math.imul(high, 0x85ebca6b), 0x9e3779b1) >>> 15) & (SLOTS - 1);
    for (;;) {
      const place = slots[slot]! - 1;
      if (place < 0) {
        if (entries === most) return null;
        table[entries] = values[i]!;
        places[i] = entries;
        slots[slot] = ++entries;
        break;
      }
      if (tableWords[2 * place] === low && tableWords[2 * place + 1] === high) {
        places[i] = place;
        break;
      }
      slot = (slot + 1) & (SLOTS - 1);
    }
  }
  return table.slice(0, entries);
}
