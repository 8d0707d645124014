import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';
import { endianness } from 'node:os';
import { columnsText } from '../engine/base/columnsText.ts';
import { MOTION_COLUMNS, type MotionLog } from '../engine/base/log.ts';
import { type PackedColumn, packTimes, packValues } from '../engine/base/packColumn.ts';
import type { Mapping } from '../ingest/ground/types.ts';
import { writeAtomic } from './atomicFile.ts';
import { isIntact, withChecksum } from './checksum.ts';
import type { SourceFile } from './documents.ts';
import { fromSystemError, systemCode } from './errors.ts';

/**
 * `columns.bin`: magic, u32 LE length of the header, JSON header, zeros up to a multiple of 8; then each column, packed as
 * the header says, then one byte a sample that says whether any channel is saturated. All little-endian, each part
 * followed by zeros up to a multiple of 8:
 * `plain` a Float64 a sample; `table` so many entries as Float64, then a Uint16 a sample, its place among them; `steps`
 * a Uint32 a sample, the step to it from the one before, `first` is the first one's value. At the end a checksum of it all.
 */
const MAGIC = 'MOULCOL3';
/** Written by versions of before, which knew of no checksum. */
const OLDER: readonly string[] = ['MOULCOL1', 'MOULCOL2'];
const PREFIX_BYTES = 12;
const COLUMNS = ['timeUs', ...MOTION_COLUMNS] as const;

/** How a column is packed. */
type Packing = { readonly name: string } & (
  | { readonly as: 'plain' }
  | { readonly as: 'table'; readonly entries: number }
  | { readonly as: 'steps'; readonly first: number }
);

interface Header {
  readonly key: string;
  readonly rows: number;
  readonly columns: readonly Packing[];
  readonly saturated: true;
}

/** What the columns were read from: another key means other columns. Lower-case hex. */
export function columnsKey(sources: readonly SourceFile[], mapping: Mapping): string {
  return createHash('sha256').update(columnsText({ sources, mapping })).digest('hex');
}

export async function writeColumns(
  path: string,
  key: string,
  log: MotionLog,
  saturated: Uint8Array,
): Promise<void> {
  const columns: Packing[] = [];
  const parts: Uint8Array[] = [];
  for (const name of COLUMNS) {
    const packed = name === 'timeUs' ? packTimes(log[name]) : packValues(log[name]);
    columns.push({ name, ...packingOf(packed) });
    for (const part of partsOf(packed)) parts.push(...padded(littleEndian(part)));
  }
  parts.push(...padded(saturated));
  const header = headerBytes({ key, rows: log.timeUs.length, columns, saturated: true });
  await writeAtomic(path, withChecksum([header, ...parts]));
}

function packingOf(packed: PackedColumn) {
  switch (packed.as) {
    case 'plain':
      return { as: packed.as };
    case 'table':
      return { as: packed.as, entries: packed.table.length };
    case 'steps':
      return { as: packed.as, first: packed.first };
  }
}

function partsOf(packed: PackedColumn): (Float64Array | Uint32Array | Uint16Array)[] {
  switch (packed.as) {
    case 'plain':
      return [packed.values];
    case 'table':
      return [packed.table, packed.places];
    case 'steps':
      return [packed.steps];
  }
}

/** `damaged`: what lies there is not what was written. `stale`: sound, but the columns of another key or version. */
export type ColumnsState =
  | { readonly is: 'valid'; readonly sizeBytes: number }
  | { readonly is: 'absent' | 'stale' | 'damaged' };

/**
 * How a file of columns came through, to the bit; all of it is read for that.
 * @throws Error  of the file system, except where there is no file
 */
export async function lookAtColumns(path: string, key: string): Promise<ColumnsState> {
  const handle = await open(path, 'r').catch((error: unknown) => {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  });
  if (!handle) return { is: 'absent' };
  try {
    const found = await handle.stat();
    if (found.isDirectory())
      throw fromSystemError(Object.assign(new Error('no file'), { code: 'EISDIR', path }));
    const prefix = Buffer.alloc(PREFIX_BYTES);
    await handle.read(prefix, 0, PREFIX_BYTES, 0);
    if (OLDER.includes(prefix.toString('latin1', 0, 8))) return { is: 'stale' };
    if (!(await isIntact(handle, found.size))) return { is: 'damaged' };
    const text = Buffer.alloc(prefix.readUInt32LE(8));
    await handle.read(text, 0, text.length, PREFIX_BYTES);
    const header: Header = JSON.parse(text.toString('utf8'));
    return header.key === key ? { is: 'valid', sizeBytes: found.size } : { is: 'stale' };
  } finally {
    await handle.close();
  }
}

function headerBytes(header: Header): Uint8Array {
  const text = Buffer.from(JSON.stringify(header));
  const bytes = Buffer.alloc(dataOffset(text.length));
  bytes.write(MAGIC, 'latin1');
  bytes.writeUInt32LE(text.length, 8);
  text.copy(bytes, PREFIX_BYTES);
  return bytes;
}

function dataOffset(headerLength: number): number {
  return upToEight(PREFIX_BYTES + headerLength);
}

function upToEight(bytes: number): number {
  return Math.ceil(bytes / 8) * 8;
}

function padded(part: Uint8Array): Uint8Array[] {
  return [part, new Uint8Array(upToEight(part.length) - part.length)];
}

function littleEndian(column: Float64Array | Uint32Array | Uint16Array): Uint8Array {
  const bytes = Buffer.from(column.buffer, column.byteOffset, column.byteLength);
  if (endianness() === 'LE') return bytes;
  const swapped = Buffer.from(bytes);
  if (column.BYTES_PER_ELEMENT === 8) return swapped.swap64();
  return column.BYTES_PER_ELEMENT === 4 ? swapped.swap32() : swapped.swap16();
}
