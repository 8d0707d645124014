import { MOTION_COLUMNS, type MotionLog } from './log.ts';
import { type PackedColumn, unpackColumn } from './packColumn.ts';
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

/** Columns of a take, and the same as they were packed: views of the bytes that they came in. */
export interface ParsedColumns {
  readonly log: MotionLog;
  readonly saturated: Uint8Array;
  readonly packed: Readonly<Record<keyof MotionLog, PackedColumn>>;
}

/**
 * Columns of a take from the bytes that the server sends.
 * @param scratch  to unpack into; what an earlier call unpacked there is gone. Without it every column is a new one.
 * @throws Error  if the bytes are not what this page reads (another version of the server).
 */
export function parseColumns(buffer: ArrayBuffer, scratch: Scratch = new Scratch()): ParsedColumns {
  const bytes = new Uint8Array(buffer);
  if (new TextDecoder().decode(bytes.subarray(0, 8)) !== MAGIC) {
    throw new Error('The server sent columns that this page does not read. Reload the page.');
  }
  const headerLength = new DataView(buffer).getUint32(8, true);
  const header: Header = JSON.parse(new TextDecoder().decode(bytes.subarray(12, 12 + headerLength)));
  const { rows } = header;
  const parts = new Parts(buffer, 12 + headerLength);
  const columns = new Map(header.columns.map((packing) => [packing.name, packedIn(packing, rows, parts)]));
  const column = (name: keyof MotionLog): PackedColumn => {
    const found = columns.get(name);
    if (!found) throw new Error(`The server sent no column ${name}. Reload the page.`);
    return found;
  };
  const packed = ofEachColumn(column);
  const log = ofEachColumn((name) => unpackColumn(packed[name], () => scratch.column(name, rows)));
  return { log, saturated: parts.bytes(rows), packed };
}

function ofEachColumn<Value>(of: (name: keyof MotionLog) => Value): Record<keyof MotionLog, Value> {
  const columns = [...MOTION_COLUMNS.map((name) => [name, of(name)]), ['timeUs', of('timeUs')]];
  return Object.fromEntries(columns) as Record<keyof MotionLog, Value>;
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

function packedIn(packing: Packing, rows: number, parts: Parts): PackedColumn {
  switch (packing.as) {
    case 'plain':
      return { as: 'plain', values: parts.float64(rows) };
    case 'table':
      return { as: 'table', table: parts.float64(packing.entries), places: parts.uint16(rows) };
    case 'steps':
      return { as: 'steps', first: packing.first, steps: parts.uint32(rows) };
  }
}

function upToEight(bytes: number): number {
  return Math.ceil(bytes / 8) * 8;
}
