import type { MotionLog } from './log.ts';
import { Scratch } from './scratch.ts';

const MAGIC = 'MOULCOL3';

interface Header {
  readonly rows: number;
  readonly columns: readonly Packing[];
}

type Packing = { readonly name: string } & (
  | { readonly as: 'plain' }
  | { readonly as: 'table'; readonly entries: number }
  | { readonly as: 'steps'; readonly first: number }
);

/**
 * Columns of a take from the bytes that the server sends.
 * @param scratch  to unpack into; what an earlier call unpacked there is gone. Without it every column is a new one.
 * @throws Error  if the bytes are not what this page reads (another version of the server).
 */
export function parseColumns(
  buffer: ArrayBuffer,
  scratch: Scratch = new Scratch(),
): { log: MotionLog; saturated: Uint8Array } {
  const bytes = new Uint8Array(buffer);
  if (new TextDecoder().decode(bytes.subarray(0, 8)) !== MAGIC) {
    throw new Error('The server sent columns that this page does not read. Reload the page.');
  }
  const headerLength = new DataView(buffer).getUint32(8, true);
  const header: Header = JSON.parse(new TextDecoder().decode(bytes.subarray(12, 12 + headerLength)));
  const { rows } = header;
  const parts = new Parts(buffer, 12 + headerLength);
  const columns = new Map<string, Float64Array>();
  for (const packing of header.columns) {
    const { name } = packing;
    columns.set(
      name,
      unpack(packing, rows, parts, () => scratch.column(name, rows)),
    );
  }
  const column = (name: keyof MotionLog): Float64Array => {
    const found = columns.get(name);
    if (!found) throw new Error(`The server sent no column ${name}. Reload the page.`);
    return found;
  };
  return {
    log: {
      timeUs: column('timeUs'),
      gyroXDps: column('gyroXDps'),
      gyroYDps: column('gyroYDps'),
      gyroZDps: column('gyroZDps'),
      accelXG: column('accelXG'),
      accelYG: column('accelYG'),
      accelZG: column('accelZG'),
    },
    saturated: parts.bytes(rows),
  };
}

/** Parts one after another, each from a multiple of 8 on. */
class Parts {
  private readonly buffer: ArrayBuffer;
  private offset: number;

  constructor(buffer: ArrayBuffer, start: number) {
    this.buffer = buffer;
    this.offset = upToEight(start);
  }

  float64(count: number): Float64Array {
    return new Float64Array(this.buffer, this.next(8 * count), count);
  }

  uint32(count: number): Uint32Array {
    return new Uint32Array(this.buffer, this.next(4 * count), count);
  }

  uint16(count: number): Uint16Array {
    return new Uint16Array(this.buffer, this.next(2 * count), count);
  }

  bytes(count: number): Uint8Array {
    return new Uint8Array(this.buffer, this.next(count), count);
  }

  private next(bytes: number): number {
    const from = this.offset;
    this.offset += upToEight(bytes);
    return from;
  }
}

function unpack(packing: Packing, rows: number, parts: Parts, makeOut: () => Float64Array): Float64Array {
  switch (packing.as) {
    case 'plain':
      return parts.float64(rows);
    case 'table': {
      const table = parts.float64(packing.entries);
      const places = parts.uint16(rows);
      const out = makeOut();
      for (let i = 0; i < rows; ++i) out[i] = table[places[i]!]!;
      return out;
    }
    case 'steps': {
      const steps = parts.uint32(rows);
      const out = makeOut();
      let value = packing.first;
      for (let i = 0; i < rows; ++i) {
        value += steps[i]!;
        out[i] = value;
      }
      return out;
    }
  }
}

function upToEight(bytes: number): number {
  return Math.ceil(bytes / 8) * 8;
}
