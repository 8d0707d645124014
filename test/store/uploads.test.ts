import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, utimesSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { describe, expect, test } from 'vitest';
import { SerialWork } from '../../server/store/serialWork.ts';
import { UploadStore } from '../../server/store/uploads.ts';
import { temporaryFolder } from './temporaryFolder.ts';

const LIMIT = 1000;
const DAY_MS = 86_400_000;

describe('UploadStore', () => {
  test('the bytes are kept as they came, whatever they are', async () => {
    const uploads = new UploadStore(temporaryFolder(), new SerialWork());
    const bytes = Buffer.from(Uint8Array.from({ length: 70_000 }, (_, i) => i % 251));
    const parts = [bytes.subarray(0, 1), bytes.subarray(1, 65_537), bytes.subarray(65_537)];
    const { uploadId, sizeBytes } = await uploads.receive('a/b.csv', Readable.from(parts));
    const [source] = await uploads.sources([uploadId]);
    expect(sizeBytes).toBe(70_000);
    expect(source).toMatchObject({
      name: 'a/b.csv',
      sizeBytes,
      sha256: createHash('sha256').update(bytes).digest('hex'),
    });
    expect(readFileSync(source!.path).equals(bytes)).toBe(true);
  });

  test.each([
    ['as large as allowed', LIMIT, true],
    ['one byte larger', LIMIT + 1, false],
  ])('a file %s (of unknown length beforehand)', async (_claim, size, isTaken) => {
    const folder = temporaryFolder();
    const uploads = new UploadStore(folder, new SerialWork(), LIMIT);
    const upload = uploads.receive('log.csv', Readable.from([Buffer.alloc(size - 1), Buffer.alloc(1)]));
    if (isTaken) expect((await upload).sizeBytes).toBe(size);
    else await expect(upload).rejects.toMatchObject({ code: 'UPLOAD_TOO_LARGE' });
    expect(readdirSync(folder)).toHaveLength(isTaken ? 1 : 0);
  });

  test('a stream that breaks off leaves nothing behind', async () => {
    const folder = temporaryFolder();
    const uploads = new UploadStore(folder, new SerialWork());
    const stream = new Readable({ read() {} });
    const upload = uploads.receive('log.csv', stream);
    stream.push(Buffer.alloc(100_000));
    setImmediate(() => stream.destroy());
    await expect(upload).rejects.toMatchObject({ code: 'UPLOAD_BROKEN' });
    expect(readdirSync(folder)).toEqual([]);
  });

  test('what nobody took up for a day is forgotten, younger uploads stay', async () => {
    const folder = temporaryFolder();
    const uploads = new UploadStore(folder, new SerialWork());
    const now = Date.UTC(2031, 0, 10);
    const ids: string[] = [];
    for (const ageMs of [DAY_MS + 1000, DAY_MS - 1000]) {
      const { uploadId } = await uploads.receive('log.csv', Readable.from([Buffer.from('x')]));
      utimesSync(join(folder, uploadId), (now - ageMs) / 1000, (now - ageMs) / 1000);
      ids.push(uploadId);
    }
    await uploads.discardOld(now);
    expect(readdirSync(folder)).toEqual([ids[1]]);
  });

  test.each([['0123456789abcdef01234567'], ['../takes'], ['']])('there is no upload %j', async (id) => {
    const uploads = new UploadStore(temporaryFolder(), new SerialWork());
    await expect(uploads.sources([id])).rejects.toMatchObject({ code: 'UPLOAD_NOT_FOUND' });
    await expect(uploads.discard(id)).rejects.toMatchObject({ code: 'UPLOAD_NOT_FOUND' });
  });
});
