import { MOTION_COLUMNS, type MotionLog, type UniformLog } from './log.ts';
import { type PackedColumn, unpackColumn } from './packColumn.ts';
import { Scratch } from './scratch.ts';
import { buildTimeBase, isOnGrid } from './timeBase.ts';

const MAGIC = 'MOULCOL3';
const LOG_COLUMNS = ['timeUs', ...MOTION_COLUMNS] as const;

interface Header {
  readonly key: string;
  readonly rows: number;
  readonly columns: readonly Packing[];
}

type Packing = { readonly name: string } & (
  | { readonly as: 'plain' }
  | { readonly as: 'table'; readonly entries: number }
  | { readonly as: 'steps'; readonly first: number }
);

/** A take's log as the server sends it: every array is a view of the bytes that came. */
export interface PackedLog {
  /** The SHA-256 of the `columnsText` that they were read from, lower-case hex. */
  readonly key: string;
  readonly columns: Readonly<Record<keyof MotionLog, PackedColumn>>;
  /** 1 where any channel of the sample is saturated. */
  readonly saturated: Uint8Array;
}

/** @throws Error  if the bytes are not what this page reads (another version of the server). */
export function readPacked(buffer: ArrayBufferLike): PackedLog {
  const bytes = new Uint8Array(buffer);
  // Decoders take no memory that is shared, so they are given a copy.
  const text = (from: number, to: number) => new TextDecoder().decode(bytes.slice(from, to));
  if (text(0, 8) !== MAGIC)
    throw new Error('The server sent columns that this page does not read. Reload the page.');
  const headerLength = new DataView(buffer).getUint32(8, true);
  const { key, rows, columns }: Header = JSON.parse(text(12, 12 + headerLength));
  const parts = new Parts(buffer, 12 + headerLength);
  const packed = new Map(columns.map((packing) => [packing.name, packedOf(packing, rows, parts)]));
  const column = (name: keyof MotionLog): PackedColumn => {
    const found = packed.get(name);
    if (!found) throw new Error(`The server sent no column ${name}. Reload the page.`);
    return found;
  };
  const named = Object.fromEntries(LOG_COLUMNS.map((name) => [name, column(name)]));
  return { key, columns: named as unknown as PackedLog['columns'], saturated: parts.bytes(rows) };
}

/** @param scratch  to unpack into; what an earlier call unpacked there is gone. Without it every column is a new one. */
export function unpackLog(
  { columns, saturated }: Omit<PackedLog, 'key'>,
  scratch: Scratch = new Scratch(),
): { log: MotionLog; saturated: Uint8Array } {
  const rows = saturated.length;
  const unpacked = LOG_COLUMNS.map((name) => [
    name,
    unpackColumn(columns[name], () => scratch.column(name, rows)),
  ]);
  return { log: Object.fromEntries(unpacked) as unknown as MotionLog, saturated };
}

/**
 * The log on its grid, as `buildTimeBase` gives it. Where it is not on it by itself, its columns are unpacked one after another,
 * each over the one before: all of them beside the grid would be as much again.
 */
export function uniformLogOf(packed: PackedLog): UniformLog {
  const scratch = new Scratch();
  const timeUs = unpackColumn(packed.columns.timeUs, (length) => scratch.column('timeUs', length));
  const isAsItIs = isOnGrid(timeUs, scratch);
  const log = isAsItIs ? unpackLog(packed, scratch).log : oneAfterAnother(packed, timeUs);
  return buildTimeBase(log, packed.saturated, scratch).uniform;
}

/** Each of its columns is there until the next one is asked for. */
function oneAfterAnother({ columns }: PackedLog, timeUs: Float64Array): MotionLog {
  const out = new Float64Array(timeUs.length);
  const log = { timeUs };
  for (const name of MOTION_COLUMNS)
    Object.defineProperty(log, name, { get: () => unpackColumn(columns[name], () => out) });
  return log as unknown as MotionLog;
}

/** Both at once: columns of a take from the bytes that the server sends. */
export function parseColumns(buffer: ArrayBufferLike, scratch?: Scratch): ReturnType<typeof unpackLog> {
  return unpackLog(readPacked(buffer), scratch);
}

/** Parts one after another, each from a multiple of 8 on. */
class Parts {
  private readonly buffer: ArrayBufferLike;
  private offset: number;

  constructor(buffer: ArrayBufferLike, start: number) {
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

function packedOf(packing: Packing, rows: number, parts: Parts): PackedColumn {
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
