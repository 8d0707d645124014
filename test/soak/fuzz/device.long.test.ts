import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, expect, test } from 'vitest';
import { previewAndRead } from '../../../server/ingest/preview/preview.ts';
import { LiveRows } from '../../../server/ingest/take/liveRows.ts';
import { Recorder } from '../../../server/store/recordings/recorder.ts';
import { readRecording } from '../../../server/store/recordings/recordingFiles.ts';
import { smallLog } from '../../store/smallLog.ts';
import { makeFolder } from '../../store/temporaryFolder.ts';
import { FUZZ_TIMEOUT, fuzz, mutated } from './fuzz.ts';
import { sourceOf } from './readLog.ts';

const { folder, remove } = makeFolder();
afterAll(remove);

const LOG = Buffer.from(smallLog(120));

test(
  'what a device sends, in whatever pieces and with whatever losses, is recorded byte for byte or noted',
  FUZZ_TIMEOUT,
  async () => {
    const piece = fc.oneof(
      {
        weight: 8,
        arbitrary: fc
          .tuple(fc.nat(LOG.length), fc.integer({ min: 1, max: 400 }))
          .map(([at, length]) => LOG.subarray(at, at + length)),
      },
      {
        weight: 1,
        arbitrary: fc.uint8Array({ minLength: 1, maxLength: 60 }).map((bytes) => Buffer.from(bytes)),
      },
      {
        weight: 1,
        arbitrary: fc.constantFrom(
          Buffer.from('\r'),
          Buffer.from('\n'),
          Buffer.from('\r\n'),
          Buffer.from('no end'),
        ),
      },
    );
    const deeds = fc.array(
      fc.oneof({ weight: 8, arbitrary: piece }, { weight: 1, arbitrary: fc.constant('away' as const) }),
      { maxLength: 30 },
    );
    await fuzz('device', fc.tuple(deeds, fc.boolean(), fc.boolean()), 80, async ([all, joins, isWhole]) => {
      const root = join(folder, 'recordings');
      rmSync(root, { recursive: true, force: true });
      mkdirSync(root);
      const recorder = await Recorder.begin(root, {
        source: 'port',
        title: 'T',
        performer: '',
        drill: '',
        joins,
      });
      const sent: Buffer[] = [];
      for (const deed of all) {
        if (deed === 'away') {
          recorder.lose();
          recorder.resume();
        } else {
          sent.push(deed);
          recorder.receive(deed);
        }
      }
      await recorder.end(isWhole);
      const document = (await readRecording(recorder.folder))!;
      const log = readFileSync(join(recorder.folder, 'log.csv'));
      // The log, with what was put aside in its places, and without the blank lines of losses, is what came.
      let at = 0;
      const parts: Buffer[] = [];
      for (const { kind, atByte, text } of document.events) {
        parts.push(log.subarray(at, atByte));
        at = atByte;
        if (text !== undefined) parts.push(Buffer.from(text, 'latin1'));
        if (kind === 'back' && atByte > 0) expect(log[atByte - 1]).toBe(10);
      }
      parts.push(log.subarray(at));
      const plain = (bytes: Buffer) => bytes.toString('latin1').replaceAll(/[\r\n]/g, '');
      expect(plain(Buffer.concat(parts))).toBe(plain(Buffer.concat(sent)));
      expect(recorder.receivedBytes).toBe(Buffer.concat(sent).length);
    });
  },
);

test(
  'rows that are read as they come are those of the whole log, however it is cut',
  FUZZ_TIMEOUT,
  async () => {
    const { preview } = await previewAndRead([sourceOf(LOG)], {}, {});
    const head = LOG.subarray(0, LOG.indexOf(10, 2500) + 1);
    const rest = LOG.subarray(head.length);
    await fuzz(
      'live',
      fc.array(fc.integer({ min: 1, max: 900 }), { minLength: 1, maxLength: 20 }),
      60,
      async (cuts) => {
        const rows = (await LiveRows.open(head, preview.mapping, preview.report!)) as LiveRows;
        const batches = [rows.readHead()];
        for (let at = 0, k = 0; at < rest.length; ++k) {
          const to = rest.indexOf(10, Math.min(rest.length - 1, at + cuts[k % cuts.length]!)) + 1;
          batches.push(await rows.read(rest.subarray(at, to)));
          at = to;
        }
        const whole = [(await reopened()).readHead(), await (await reopened()).read(rest)];
        const count = (all: readonly { readonly timeUs: ArrayLike<number> }[]) =>
          all.reduce((sum, { timeUs }) => sum + timeUs.length, 0);
        expect(count(batches)).toBe(count(whole));
      },
    );
    async function reopened(): Promise<LiveRows> {
      return (await LiveRows.open(head, preview.mapping, preview.report!)) as LiveRows;
    }
  },
);

test('odd lines among those that come stop nothing', FUZZ_TIMEOUT, async () => {
  const { preview } = await previewAndRead([sourceOf(LOG)], {}, {});
  const head = LOG.subarray(0, LOG.indexOf(10, 2500) + 1);
  await fuzz('odd live', mutated([LOG.subarray(head.length)]), 80, async (bytes) => {
    const rows = (await LiveRows.open(head, preview.mapping, preview.report!)) as LiveRows;
    const { timeUs, columns } = await rows.read(Buffer.concat([bytes, Buffer.from('\n')]));
    for (const column of columns) {
      expect(column.length).toBe(timeUs.length);
      if (![...column].every(Number.isFinite)) throw new Error('a live row holds what is no number');
    }
  });
});
