import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';
import { endianness } from 'node:os';
import type { MotionLog } from '../engine/base/log.ts';
import type { Mapping } from '../ingest/ground/types.ts';
import { writeAtomic } from './atomicFile.ts';
import type { SourceFile } from './documents.ts';
import { type PackedColumn, packTimes, packValues } from './packColumn.ts';

/**
 * `columns.bin`: magic, u32 LE length of the header, JSON header, zeros up to a multiple of 8; then each column, packed as
 * the header says, then one byte a sample that says whether any channel is saturated. All little-endian, each part
 * followed by zeros up to a multiple of 8:
 * `plain` a Float64 a sample; `table` so many entries as Float64, then a Uint16 a sample, its place among them; `steps`
 * a Uint32 a sample, the step to it from the one before, `first` is the first one's value.
 */
const MAGIC = 'MOULCOL2';
const PREFIX_BYTES = 12;
const COLUMNS = [
  'timeUs',
  'gyroXDps',
  'gyroYDps',
  'gyroZDps',
  'accelXG',
  'accelYG',
  'accelZG',
] as const satisfies readonly (keyof MotionLog)[];

/** Counts up when the same sources and mapping would be read into other columns, or those be written otherwise. */
const CACHE_VERSION = 2;
const MAX_HEADER_BYTES = 64 * 1024;

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
  const parts = { version: CACHE_VERSION, sources: sources.map((source) => source.sha256), mapping };
  return createHash('sha256').update(JSON.stringify(parts)).digest('hex');
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
  await writeAtomic(path, [header, ...parts]);
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

/** Size of the file, if it holds the whole columns of `key`; null where it is missing, stale or cut short. */
export async function validColumnsSize(path: string, key: string): Promise<number | null> {
  const handle = await open(path, 'r').catch(() => null);
  if (!handle) return null;
  try {
    const { size } = await handle.stat();
    const prefix = Buffer.alloc(PREFIX_BYTES);
    await handle.read(prefix, 0, PREFIX_BYTES, 0);
    const length = prefix.readUInt32LE(8);
    if (prefix.toString('latin1', 0, 8) !== MAGIC || length > MAX_HEADER_BYTES) return null;
    const text = Buffer.alloc(length);
    await handle.read(text, 0, length, PREFIX_BYTES);
    return isWhole(text.toString('utf8'), key, size, length) ? size : null;
  } finally {
    await handle.close();
  }
}

function isWhole(headerText: string, key: string, size: number, headerLength: number): boolean {
  let header: Partial<Header>;
  try {
    header = JSON.parse(headerText);
  } catch {
    return false;
  }
  const { rows, columns } = header;
  // Whoever wrote this key wrote the rest of the header too.
  if (header.key !== key || rows === undefined || columns === undefined) return false;
  const bytes = columns.reduce((sum, packing) => sum + sizeOf(packing, rows), upToEight(rows));
  return size === dataOffset(headerLength) + bytes;
}

function sizeOf(packing: Packing, rows: number): number {
  switch (packing.as) {
    case 'plain':
      return 8 * rows;
    case 'table':
      return 8 * packing.entries + upToEight(2 * rows);
    case 'steps':
      return upToEight(4 * rows);
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
