import type { FileHandle } from 'node:fs/promises';
import { crc32 } from 'node:zlib';

/** At the end of a file that can be made again: CRC-32 of all before it as u32 LE, then four zeros. */
export const TRAILER_BYTES = 8;
const CHUNK_BYTES = 256 * 1024;

/** The parts of a file, and behind them what tells whether they came back as they were. */
export function withChecksum(parts: readonly Uint8Array[]): Uint8Array[] {
  const trailer = Buffer.alloc(TRAILER_BYTES);
  // Of no bytes at all the library forgets the sum so far.
  trailer.writeUInt32LE(parts.reduce((sum, part) => (part.length === 0 ? sum : crc32(part, sum)), 0));
  return [...parts, trailer];
}

/** Whether each bit of a file with a checksum is as it was written. Reads all of it. */
export async function isIntact(file: FileHandle, sizeBytes: number): Promise<boolean> {
  const end = sizeBytes - TRAILER_BYTES;
  if (end < 0) return false;
  const chunk = Buffer.allocUnsafe(Math.min(CHUNK_BYTES, sizeBytes));
  let sum = 0;
  for (let at = 0; at < end; ) {
    const { bytesRead } = await file.read(chunk, 0, Math.min(chunk.length, end - at), at);
    if (bytesRead === 0) return false;
    sum = crc32(chunk.subarray(0, bytesRead), sum);
    at += bytesRead;
  }
  const trailer = Buffer.alloc(TRAILER_BYTES);
  await file.read(trailer, 0, TRAILER_BYTES, end);
  return trailer.readUInt32LE() === sum && trailer.readUInt32LE(4) === 0;
}
