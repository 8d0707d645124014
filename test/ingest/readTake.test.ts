import { describe, expect, test } from 'vitest';
import { CancelledError } from '../../server/errors.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { seededRandom } from '../seeded.ts';
import { rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const take = rollingTake(700, 100);
const odd = ['# note', '1.0,"2",3', '"a\nb",1,2,3,4,5,6,x', ''];
const text = rowsOf(
  take,
  [time(), ...SIX, (_, i) => (i < 300 ? '"first, part"' : '"second ""part"""')],
  ',',
  '\r\n',
)
  .split('\r\n')
  .map((line, i) => (i % 97 === 50 ? `${line}\r\n${odd[((i / 97) % 4) | 0]}` : line))
  .join('\r\n');
const log = `t,gx,gy,gz,ax,ay,az,label\r\n${text}`;

describe('reading in a stream', () => {
  test('the chunks that a file comes in change nothing', { timeout: 120_000 }, async () => {
    const { mapping } = await previewLog([textSource(log)], {}, {});
    const whole = await readTake([textSource(log)], mapping, {});
    expect(whole.report).toMatchObject({ rows: 700 });
    expect(whole.textSpans.map((span) => span.text)).toEqual(['first, part', 'second "part"']);
    const random = seededRandom(5);
    for (const chunkBytes of [
      1,
      2,
      3,
      7,
      1000,
      ...Array.from({ length: 6 }, () => 1 + Math.floor(random() * 5000)),
    ]) {
      expect(await readTake([textSource(log, 'take.csv', chunkBytes)], mapping, {})).toEqual(whole);
    }
  });

  test('a source may reuse its buffer', async () => {
    const bytes = new TextEncoder().encode(log);
    const shared = new Uint8Array(777);
    const source = {
      name: 'take.csv',
      sizeBytes: bytes.length,
      async *open() {
        for (let from = 0; from < bytes.length; from += shared.length) {
          const part = bytes.subarray(from, from + shared.length);
          shared.fill(0x39);
          shared.set(part);
          yield shared.subarray(0, part.length);
        }
      },
    };
    const { mapping } = await previewLog([source], {}, {});
    expect(await readTake([source], mapping, {})).toEqual(await readTake([textSource(log)], mapping, {}));
  });

  test('progress rises to 1 over all files', async () => {
    const seen: number[] = [];
    const source = textSource(log, 'take.csv', 2000);
    const { mapping } = await previewLog([source], {}, {});
    await readTake([source], mapping, { onProgress: (part) => seen.push(part) });
    expect(seen.length).toBeGreaterThan(5);
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    expect(seen.at(-1)).toBe(1);
  });

  test('an aborted signal stops it', async () => {
    const source = textSource(log, 'take.csv', 2000);
    const { mapping } = await previewLog([source], {}, {});
    const stop = new AbortController();
    const onProgress = (part: number) => part > 0.5 && stop.abort();
    await expect(readTake([source], mapping, { signal: stop.signal, onProgress })).rejects.toThrow(
      CancelledError,
    );
  });

  test('a mapping for another number of files is a mistake of the caller', async () => {
    const { mapping } = await previewLog([textSource(log)], {}, {});
    await expect(readTake([], mapping, {})).rejects.toThrow(RangeError);
  });

  test('a mapping survives JSON', async () => {
    const { mapping } = await previewLog([textSource(log)], {}, {});
    const kept = JSON.parse(JSON.stringify(mapping));
    expect(await readTake([textSource(log)], kept, {})).toEqual(
      await readTake([textSource(log)], mapping, {}),
    );
  });
});
