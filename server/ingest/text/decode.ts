import { LogFormatError } from '../../errors.ts';
import type { LogSource } from '../ground/types.ts';

type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be';

/** How a file's bytes become text: the encoding, and how many bytes of byte order mark come first. */
interface ByteOrderMark {
  readonly encoding: Encoding;
  readonly length: number;
}

const SIGNATURES: readonly (readonly [string, readonly number[]])[] = [
  ['a ZIP file or a spreadsheet: unpack it, or save the sheet as CSV', [0x50, 0x4b, 0x03, 0x04]],
  ['a gzip file: unpack it first', [0x1f, 0x8b]],
  ['a PDF file: export its table as CSV', [0x25, 0x50, 0x44, 0x46, 0x2d]],
  ['a PNG picture: export the log itself as CSV', [0x89, 0x50, 0x4e, 0x47]],
  ['an HDF5 file: export it as CSV', [0x89, 0x48, 0x44, 0x46]],
  ['a Parquet file: export it as CSV', [0x50, 0x41, 0x52, 0x31]],
  ['a database file: export the table as CSV', [0x53, 0x51, 0x4c, 0x69, 0x74, 0x65]],
  ['an old spreadsheet: save the sheet as CSV', [0xd0, 0xcf, 0x11, 0xe0]],
];

/**
 * The source's bytes as UTF-8 without a byte order mark; UTF-16 with a mark is turned into UTF-8 on the way.
 * @throws LogFormatError  where the first bytes show that the file is no text
 */
export async function* decodedBytes(source: LogSource): AsyncGenerator<Uint8Array> {
  let mark: ByteOrderMark | null = null;
  let decoder: TextDecoder | null = null;
  const encoder = new TextEncoder();
  for await (const chunk of source.open()) {
    let bytes = chunk;
    if (mark === null && bytes.length > 0) {
      mark = findMark(bytes);
      refuseNonText(bytes, mark, source.name);
      bytes = bytes.subarray(mark.length);
      if (mark.encoding !== 'utf-8') decoder = new TextDecoder(mark.encoding, { ignoreBOM: true });
    }
    yield decoder ? encoder.encode(decoder.decode(bytes, { stream: true })) : bytes;
  }
  if (decoder) yield encoder.encode(decoder.decode());
}

/** Text of UTF-8 bytes; where they are no UTF-8, each byte is taken as a Windows-1252 character. */
export function decodeText(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

function findMark(bytes: Uint8Array): ByteOrderMark {
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return { encoding: 'utf-8', length: 3 };
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return { encoding: 'utf-16le', length: 2 };
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return { encoding: 'utf-16be', length: 2 };
  return { encoding: 'utf-8', length: 0 };
}

function refuseNonText(bytes: Uint8Array, mark: ByteOrderMark, file: string): void {
  for (const [what, signature] of SIGNATURES) {
    if (signature.every((byte, i) => bytes[i] === byte))
      throw new LogFormatError(`this is ${what}`, { file });
  }
  if (mark.encoding !== 'utf-8') return;
  const start = bytes.subarray(0, 4096);
  if (!start.includes(0)) return;
  throw new LogFormatError(hintOf(start), { file });
}

/** What bytes are of which some are zero. Plain words in UTF-16 have a zero in every other place, and hardly one between. */
function hintOf(bytes: Uint8Array): string {
  if (bytes.every((byte) => byte === 0))
    return 'this holds nothing but zero bytes: nothing was written to it. Copy it from the prop again';
  const zeros = [0, 0];
  for (const [i, byte] of bytes.entries()) if (byte === 0) ++zeros[i % 2]!;
  const [fewer, more] = zeros.sort((a, b) => a - b) as [number, number];
  const half = bytes.length / 2;
  return more > 0.6 * half && fewer < 0.1 * half
    ? 'this looks like UTF-16 text without a byte order mark: save it as UTF-8'
    : 'this is no text file (it holds zero bytes): export the log as CSV';
}
