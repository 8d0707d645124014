import { copyFileSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { MotionLog } from '../../server/engine/base/log.ts';
import { unpackColumn } from '../../server/engine/base/packColumn.ts';
import { parseColumns, readPacked } from '../../server/engine/base/packedColumns.ts';
import { Scratch } from '../../server/engine/base/scratch.ts';
import { columnsKey, lookAtColumns, writeColumns } from '../../server/store/columnsFile.ts';
import { type IngestRunner, inlineIngest } from '../../server/store/ingestTasks.ts';
import { seededNormal, seededRandom } from '../seeded.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { addSmallTake, temporaryWorkspace } from './temporaryWorkspace.ts';

const FLIPS = 60;
const SEED = 7;
const NAMES = ['timeUs', 'gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;

describe('columns.bin', () => {
  test.each([[0], [1], [7], [1000]])('%d samples are read back by the page to the bit', async (rows) => {
    const path = join(temporaryFolder(), 'columns.bin');
    const normal = seededNormal(3);
    const column = (): Float64Array => Float64Array.from({ length: rows }, normal);
    const log = Object.fromEntries(NAMES.map((name) => [name, column()])) as unknown as MotionLog;
    const saturated = Uint8Array.from({ length: rows }, (_, i) => i % 2);
    await writeColumns(path, 'abc', log, saturated);
    const bytes = readFileSync(path);
    const buffer = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length);
    const read = parseColumns(buffer);
    const packed = readPacked(buffer).columns;
    for (const name of NAMES) {
      expect(bits(read.log[name])).toEqual(bits(log[name]));
      expect(bits(unpackColumn(packed[name]))).toEqual(bits(log[name]));
    }
    expect(read.saturated).toEqual(saturated);
    expect(await lookAtColumns(path, 'abc')).toEqual({ is: 'valid', sizeBytes: bytes.length });
  });

  test.each([
    ['few values', 1000, (i: number) => [0.25, -0.5, -0, 0, 1e-300][i % 5]!],
    ['65,536 values, each twice', 131_072, (i: number) => (i % 65_536) * 0.061 - 2000],
    ['65,537 values', 131_074, (i: number) => (i % 65_537) * 0.061 - 2000],
    ['a new value at every sample', 1000, (i: number) => Math.sin(i)],
  ])('a column of %s is read back to the bit', async (_name, rows, value) => {
    const column = Float64Array.from({ length: rows }, (_, i) => value(i));
    const { read } = await written({ gyroXDps: column }, rows);
    expect(bits(read.log.gyroXDps)).toEqual(bits(column));
  });

  test.each([
    ['whole microseconds', (i: number) => 5e15 + 2000 * i + (i % 3)],
    ['steps of more than an hour', (i: number) => 4e9 * i],
    ['longer steps than four bytes hold', (i: number) => 5e9 * i],
    ['fractions', (i: number) => i / 3],
    ['times that fall', (i: number) => -1000 * i],
  ])('times of %s are read back to the bit', async (_name, time) => {
    const column = Float64Array.from({ length: 500 }, (_, i) => time(i));
    const { read } = await written({ timeUs: column }, 500);
    expect(bits(read.log.timeUs)).toEqual(bits(column));
  });

  test('a log of 16-bit codes takes a third of the bytes that its numbers do', async () => {
    const normal = seededNormal(5);
    const rows = 100_000;
    const codes = (): Float64Array =>
      Float64Array.from({ length: rows }, () => Math.round(normal() * 300) / 16.4);
    const named = Object.fromEntries(NAMES.slice(1).map((name) => [name, codes()]));
    const timeUs = Float64Array.from({ length: rows }, (_, i) => 2000 * i);
    const { bytes, read } = await written({ ...named, timeUs }, rows);
    expect(bytes.length).toBeLessThan((rows * 7 * 8) / 3);
    for (const name of NAMES.slice(1)) expect(bits(read.log[name])).toEqual(bits(named[name]!));
  });

  test('unpacked into the same columns, the next take overwrites the last', async () => {
    const scratch = new Scratch();
    const rows = 10;
    const first = await written({ gyroXDps: new Float64Array(rows).fill(1) }, rows, scratch);
    const second = await written({ gyroXDps: new Float64Array(rows).fill(2) }, rows, scratch);
    expect(first.read.log.gyroXDps).toEqual(second.read.log.gyroXDps);
    expect(second.read.log.gyroXDps[3]).toBe(2);
  });

  test('the bytes of four samples are these', async () => {
    const path = join(temporaryFolder(), 'columns.bin');
    const log = Object.fromEntries(
      NAMES.map((name, i) => [name, i === 0 ? Float64Array.of(7, 9, 9, 12) : Float64Array.of(i, -i, i, -i)]),
    ) as unknown as MotionLog;
    await writeColumns(path, 'k', log, Uint8Array.of(0, 1, 0, 1));
    const columns = NAMES.map((name, i) =>
      i === 0 ? { name, as: 'steps', first: 7 } : { name, as: 'table', entries: 2 },
    );
    const header = JSON.stringify({ key: 'k', rows: 4, columns, saturated: true });
    const padding = (8 - ((12 + header.length) % 8)) % 8;
    const start = 12 + header.length + padding;
    const expected = Buffer.alloc(start + 16 + 6 * 24 + 8 + 8);
    expected.write(`MOULCOL3`);
    expected.writeUInt32LE(header.length, 8);
    expected.write(header, 12);
    for (const [k, step] of [0, 2, 0, 3].entries()) expected.writeUInt32LE(step, start + 4 * k);
    for (let i = 1; i < 7; ++i) {
      const offset = start + 16 + 24 * (i - 1);
      expected.writeDoubleLE(i, offset);
      expected.writeDoubleLE(-i, offset + 8);
      for (const [k, place] of [0, 1, 0, 1].entries()) expected.writeUInt16LE(place, offset + 16 + 2 * k);
    }
    expected.set([0, 1, 0, 1], start + 16 + 6 * 24);
    expected.writeUInt32LE(plainCrc32(expected.subarray(0, -8)), expected.length - 8);
    expect(readFileSync(path).equals(expected)).toBe(true);
  });

  test('the key follows the sources and the mapping, not the names of files', async () => {
    const workspace = await temporaryWorkspace();
    const { sources, mapping } = await addSmallTake(workspace);
    const key = columnsKey(sources, mapping);
    expect(columnsKey([{ ...sources[0]!, name: 'other.csv' }], mapping)).toBe(key);
    expect(columnsKey([{ ...sources[0]!, sha256: '00' }], mapping)).not.toBe(key);
    expect(columnsKey(sources, { ...mapping, rateHz: 50 })).not.toBe(key);
  });
});

/** What a file of these columns, the others all zero, holds, and what the page reads of it. */
async function written(
  columns: Partial<Record<string, Float64Array>>,
  rows: number,
  scratch = new Scratch(),
) {
  const path = join(temporaryFolder(), 'columns.bin');
  const log = Object.fromEntries(
    NAMES.map((name) => [name, columns[name] ?? new Float64Array(rows)]),
  ) as unknown as MotionLog;
  await writeColumns(path, 'k', log, new Uint8Array(rows));
  const bytes = readFileSync(path);
  expect(await lookAtColumns(path, 'k')).toEqual({ is: 'valid', sizeBytes: bytes.length });
  return { bytes, read: parseColumns(Uint8Array.from(bytes).buffer, scratch) };
}

describe('the cache of columns', () => {
  test.each([
    ['missing', (path: string) => rmSync(path)],
    ['cut short by one byte', (path: string) => truncateSync(path, readFileSync(path).length - 1)],
    ['cut short in its header', (path: string) => truncateSync(path, 20)],
    ['cut short in its magic', (path: string) => truncateSync(path, 5)],
    ['empty', (path: string) => truncateSync(path, 0)],
    ['longer than it says', (path: string) => writeFileSync(path, 'x', { flag: 'a' })],
    ['something else', (path: string) => writeFileSync(path, 'MOULCOL3\xff\xff\xff\xff and so on', 'latin1')],
    ['of an endless header', (path: string) => spoilByte(path, 11, 0x7f)],
    ['of a broken header', (path: string) => spoilByte(path, 12, 0x21)],
    ['of another key', (path: string) => spoilByte(path, 20, 0x7a)],
  ])('a cache that is %s is read again from the source, to the same bytes', async (_claim, spoil) => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    const path = join(workspace.takes.folderOf(id), 'columns.bin');
    const before = readFileSync(path);
    spoil(path);
    expect(await workspace.columns(id)).toMatchObject({ path, sizeBytes: before.length });
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  test('one bit that turned over, wherever it lies, is noticed: the columns are read again, and a line says so', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    const path = join(workspace.takes.folderOf(id), 'columns.bin');
    const before = readFileSync(path);
    const random = seededRandom(SEED);
    for (let flip = 0; flip < FLIPS; ++flip) {
      const bit = Math.floor(random() * before.length * 8);
      const bytes = Buffer.from(before);
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      writeFileSync(path, bytes);
      await workspace.columns(id);
      expect(readFileSync(path).equals(before), `bit ${bit}, seed ${SEED}`).toBe(true);
    }
    expect(workspace.problems).toEqual([
      expect.stringMatching(
        /^The columns of the take "Slow carry" in .* were damaged on the disk and have been read again/,
      ),
    ]);
  });

  test('columns that a version of before wrote are read again without a word', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    const path = join(workspace.takes.folderOf(id), 'columns.bin');
    writeFileSync(path, 'MOULCOL2 and so on');
    await workspace.columns(id);
    expect(workspace.problems).toEqual([]);
  });

  test('columns of another take in its place are not trusted', async () => {
    const workspace = await temporaryWorkspace();
    const one = await addSmallTake(workspace);
    const other = await addSmallTake(workspace, smallLog(100).replaceAll('0.999', '0.998'));
    const path = join(workspace.takes.folderOf(one.id), 'columns.bin');
    const before = readFileSync(path);
    copyFileSync(join(workspace.takes.folderOf(other.id), 'columns.bin'), path);
    await workspace.columns(one.id);
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  test('a whole cache is not read again; five who ask at once for a missing one cause one reading', async () => {
    let reads = 0;
    const ingest = inlineIngest();
    const counting: IngestRunner = {
      ...ingest,
      read: (task, hooks) => {
        ++reads;
        return ingest.read(task, hooks);
      },
    };
    const workspace = await temporaryWorkspace({ ingest: counting });
    const { id } = await addSmallTake(workspace);
    await workspace.columns(id);
    expect(reads).toBe(1);
    rmSync(join(workspace.takes.folderOf(id), 'columns.bin'));
    await Promise.all([1, 2, 3, 4, 5].map(() => workspace.columns(id)));
    expect(reads).toBe(2);
  });

  test.each([
    ['has changed', (path: string) => writeFileSync(path, smallLog(50))],
    ['is missing', (path: string) => rmSync(path)],
  ])('a source that %s since it was added is not read as if it were the same', async (what, spoil) => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    spoil((await workspace.source(id, 0)).path);
    rmSync(join(workspace.takes.folderOf(id), 'columns.bin'));
    const columns = workspace.columns(id);
    await expect(columns).rejects.toMatchObject({ code: 'STORE_CORRUPT' });
    await expect(columns).rejects.toThrow(`log.csv of the take "Slow carry" ${what}`);
    await expect(columns).rejects.toThrow('Put the file back as it was');
  });
});

function bits(column: Float64Array): BigUint64Array {
  return new BigUint64Array(column.slice().buffer);
}

function spoilByte(path: string, offset: number, value: number): void {
  const bytes = readFileSync(path);
  bytes[offset] = value;
  writeFileSync(path, bytes);
}

/** The plain loop over bits, as the definition of CRC-32 (ISO 3309, reflected 0x04C11DB7) has it. */
function plainCrc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; ++k) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}
