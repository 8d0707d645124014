import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';
import { endianness } from 'node:os';
import type { MotionLog } from '../engine/log.ts';
import type { Mapping } from '../ingest/types.ts';
import { writeAtomic } from './atomicFile.ts';
import type { SourceFile } from './documents.ts';

/**
 * `columns.bin`: magic, u32 LE length of the header, JSON header, zeros up to a multiple of 8; then each column as
 * little-endian Float64, then one byte a sample that says whether any channel is saturated.
 */
const MAGIC = 'MOULCOL1';
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

/** Counts up when the same sources and mapping would be read into other columns. */
const CACHE_VERSION = 1;
const MAX_HEADER_BYTES = 64 * 1024;

interface Header {
  readonly key: string;
  readonly rows: number;
  readonly columns: readonly string[];
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
  const header = headerBytes({ key, rows: log.timeUs.length, columns: COLUMNS, saturated: true });
  await writeAtomic(path, [header, ...COLUMNS.map((name) => littleEndian(log[name])), saturated]);
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
  const expected = dataOffset(headerLength) + Number(header.rows) * (COLUMNS.length * 8 + 1);
  return header.key === key && size === expected;
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
  return Math.ceil((PREFIX_BYTES + headerLength) / 8) * 8;
}

function littleEndian(column: Float64Array): Uint8Array {
  const bytes = Buffer.from(column.buffer, column.byteOffset, column.byteLength);
  return endianness() === 'LE' ? bytes : Buffer.from(bytes).swap64();
}
