import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import type { Hooks, Mapping } from '../../server/ingest/ground/types.ts';
import { type IngestRunner, inlineIngest, type ReadResult } from '../../server/store/ingestTasks.ts';
import { ReaderThread } from '../../server/store/readerThread.ts';
import type { SourceOnDisk } from '../../server/store/sourceFiles.ts';
import { WorkerIngest } from '../../server/store/workerIngest.ts';
import { bundleForNode } from './bundle.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';

/** Long enough that its reading takes many turns of the event loop. */
const LONG_ROWS = 120_000;

let bundleFolder = '';
let entry = new URL('file:///');

beforeAll(async () => {
  bundleFolder = await mkdtemp(join(tmpdir(), 'moulinet-test-'));
  const source = fileURLToPath(new URL('../../server/store/ingestWorker.ts', import.meta.url));
  entry = pathToFileURL(await bundleForNode(source, bundleFolder));
});
afterAll(() => rmSync(bundleFolder, { recursive: true, force: true }));

describe('WorkerIngest', () => {
  test('the thread reads the same as the same code in line, to the byte', async () => {
    const source = logFile(smallLog(500));
    const ingest = worker();
    const preview = await ingest.preview({ sources: [source], overrides: {} }, {});
    expect(preview).toEqual(await inlineIngest().preview({ sources: [source], overrides: {} }, {}));
    const [byThread, inLine] = [temporaryFolder(), temporaryFolder()];
    const result = await read(ingest, source, byThread);
    expect(result).toEqual(await read(inlineIngest(), source, inLine));
    const bytes = [byThread, inLine].map((folder) => readFileSync(join(folder, 'columns.bin')));
    expect(bytes[0]!.equals(bytes[1]!)).toBe(true);
  });

  test('while the thread reads, this one is free; in line it is not', async () => {
    const source = logFile(smallLog(LONG_ROWS));
    const ingest = worker();
    await read(ingest, logFile(smallLog()), temporaryFolder());
    const mapping = await mappingOf(source);
    const busy = async (runner: IngestRunner): Promise<number> => {
      const before = performance.eventLoopUtilization();
      await read(runner, source, temporaryFolder(), {}, mapping);
      return performance.eventLoopUtilization(before).utilization;
    };
    // Shares of the time that a reading took, each against the other: so it holds on a slow or busy machine too.
    const threaded = await busy(ingest);
    expect(threaded).toBeLessThan(0.75 * (await busy(inlineIngest())));
  });

  test('the progress is told upwards, in steps that a bar can show', async () => {
    const told: number[] = [];
    await read(worker(), logFile(smallLog(LONG_ROWS)), temporaryFolder(), {
      onProgress: (part) => told.push(part),
    });
    expect(told.length).toBeGreaterThan(3);
    expect(told.length).toBeLessThanOrEqual(200);
    expect(told.every((part, i) => part > (told[i - 1] ?? 0) && part <= 1)).toBe(true);
  });

  test('a stop ends the reading in the middle; nothing is left, and the next log is read', async () => {
    const ingest = worker();
    const folder = temporaryFolder();
    const stop = new AbortController();
    const reading = read(ingest, logFile(smallLog(LONG_ROWS)), folder, {
      signal: stop.signal,
      onProgress: () => stop.abort(),
    });
    await expect(reading).rejects.toMatchObject({ code: 'CANCELLED' });
    expect(readdirSync(folder)).toEqual([]);
    expect((await read(ingest, logFile(smallLog()), folder)).report.rows).toBe(100);
  });

  test('work that was stopped while it waited is never begun; the work before it is done', async () => {
    const ingest = worker();
    const [first, second] = [temporaryFolder(), temporaryFolder()];
    const stop = new AbortController();
    const source = logFile(smallLog(2000));
    const mapping = await mappingOf(source);
    const running = read(ingest, source, first, {}, mapping);
    const beside = read(ingest, source, temporaryFolder(), {}, mapping);
    const waiting = read(ingest, source, second, { signal: stop.signal }, mapping);
    stop.abort();
    await expect(waiting).rejects.toMatchObject({ code: 'CANCELLED' });
    expect((await running).report.rows).toBe(2000);
    await beside;
    expect(readdirSync(second)).toEqual([]);
  });

  test('a long log keeps a short one not waiting', async () => {
    const ingest = worker();
    const [long, short] = [logFile(smallLog(LONG_ROWS)), logFile(smallLog())];
    const [longMapping, shortMapping] = [await mappingOf(long), await mappingOf(short)];
    // Both threads are there by then: how long one takes to start says nothing of waiting.
    await Promise.all([0, 1].map(() => read(ingest, short, temporaryFolder(), {}, shortMapping)));
    const ended: string[] = [];
    const reading = read(ingest, long, temporaryFolder(), {}, longMapping).then(() => ended.push('long'));
    await read(ingest, short, temporaryFolder(), {}, shortMapping).then(() => ended.push('short'));
    await reading;
    expect(ended).toEqual(['short', 'long']);
  });

  test('a take that was previewed is added from memory, though another thread is free', async () => {
    const ingest = worker();
    const source = logFile(smallLog(500));
    const { mapping } = await ingest.preview({ sources: [source], overrides: {} }, {});
    await ingest.preview({ sources: [logFile(smallLog())], overrides: {} }, {});
    rmSync(source.path);
    expect((await read(ingest, source, temporaryFolder(), {}, mapping)).report.rows).toBe(500);
  });

  test('a thread that has read much ends, and gives its memory back, unless it keeps the take for adding', async () => {
    const made: unknown[] = [];
    const note = (worker: unknown) => void made.push(worker);
    process.on('worker', note);
    onTestFinished(() => void process.off('worker', note));
    const source = logFile(smallLog(500));
    const mapping = await mappingOf(source);
    const hooks = {};
    const task = { sources: [source], mapping, columnsPath: '', columnsKey: 'k' };
    const readBy = (thread: ReaderThread) =>
      thread.run({ ...task, kind: 'read', columnsPath: join(temporaryFolder(), 'columns.bin') }, hooks);
    const previewBy = (thread: ReaderThread) =>
      thread.run({ kind: 'preview', sources: [source], overrides: {} }, hooks);
    for (const [endsFromBytes, threads] of [
      [source.sizeBytes, 2],
      [source.sizeBytes + 1, 1],
    ] as const) {
      made.length = 0;
      const thread = new ReaderThread(entry, endsFromBytes);
      onTestFinished(() => thread.end());
      await previewBy(thread);
      await readBy(thread);
      await readBy(thread);
      expect(made).toHaveLength(threads);
    }
  });

  test('one of many that wait is stopped at once, and the rest are read', async () => {
    const ingest = worker();
    const source = logFile(smallLog(20_000));
    const mapping = await mappingOf(source);
    const readings = Array.from({ length: 5 }, () => read(ingest, source, temporaryFolder(), {}, mapping));
    const stop = new AbortController();
    const waiting = read(ingest, source, temporaryFolder(), { signal: stop.signal }, mapping);
    let isAnyRead = false;
    void readings[0]!.then(() => {
      isAnyRead = true;
    });
    stop.abort();
    await expect(waiting).rejects.toMatchObject({ code: 'CANCELLED' });
    expect(isAnyRead).toBe(false);
    for (const { report } of await Promise.all(readings)) expect(report.rows).toBe(20_000);
  });

  test('what is wrong with a log comes over with its code and place', async () => {
    const source = logFile('this is,no log\nat all,\n');
    const task = { sources: [source], overrides: {} };
    const [byThread, inLine] = await Promise.allSettled([
      worker().preview(task, {}),
      inlineIngest().preview(task, {}),
    ]);
    const reason = (result: PromiseSettledResult<unknown>): Record<string, unknown> => {
      if (result.status === 'fulfilled') return { needs: (result.value as { needs: unknown }).needs };
      const { code, message, file, line, column } = result.reason;
      return { code, message, file, line, column };
    };
    expect(reason(byThread)).toEqual(reason(inLine));
    expect(reason(byThread).code).toBe('LOG_FORMAT');
  });

  test('a bug in the thread comes over as a bug, with where it was', async () => {
    const source = { ...logFile(smallLog()), path: null as unknown as string };
    const preview = worker().preview({ sources: [source], overrides: {} }, {});
    await expect(preview).rejects.toThrow(/TypeError.*at .*readChunks/s);
    await expect(preview).rejects.not.toHaveProperty('code');
  });

  test('a file that is gone is told of, not taken for a bug', async () => {
    const source = { ...logFile(smallLog()), path: join(temporaryFolder(), 'gone') };
    const preview = worker().preview({ sources: [source], overrides: {} }, {});
    await expect(preview).rejects.toMatchObject({ code: 'STORE_CORRUPT' });
    await expect(preview).rejects.toThrow('gone is missing');
  });

  test('a closed one begins nothing more', async () => {
    const ingest = worker();
    await ingest.close();
    const preview = ingest.preview({ sources: [logFile(smallLog())], overrides: {} }, {});
    await expect(preview).rejects.toMatchObject({ code: 'CANCELLED' });
  });
});

describe('a take that was previewed', () => {
  const log = smallLog(500);
  const columnsOf = (folder: string) => readFileSync(join(folder, 'columns.bin'));

  /** What a runner reads by a mapping once it has previewed a log whose file is gone by then. */
  async function readWithoutFile(change: (mapping: Mapping) => Mapping, sha256 = hashOf(log)) {
    const source = logFile(log);
    const ingest = inlineIngest();
    const { mapping } = await ingest.preview({ sources: [source], overrides: {} }, {});
    rmSync(source.path);
    const folder = temporaryFolder();
    const result = await read(ingest, { ...source, sha256 }, folder, {}, change(mapping));
    return { result, folder };
  }

  test('is added without reading its file again, to the byte as if it had been read', async () => {
    const { result, folder } = await readWithoutFile((mapping) => JSON.parse(JSON.stringify(mapping)));
    const anew = temporaryFolder();
    expect(result).toEqual(await read(inlineIngest(), logFile(log), anew));
    expect(columnsOf(folder).equals(columnsOf(anew))).toBe(true);
  });

  test('is read again for another mapping, for other contents, and the second time', async () => {
    const turned = (mapping: Mapping) => ({ ...mapping, mount: { ...mapping.mount, tip: '-z' as const } });
    await expect(readWithoutFile(turned)).rejects.toThrow('ENOENT');
    await expect(readWithoutFile((mapping) => mapping, 'another')).rejects.toThrow('ENOENT');
    const source = logFile(log);
    const ingest = inlineIngest();
    const { mapping } = await ingest.preview({ sources: [source], overrides: {} }, {});
    await read(ingest, source, temporaryFolder(), {}, mapping);
    rmSync(source.path);
    await expect(read(ingest, source, temporaryFolder(), {}, mapping)).rejects.toThrow('ENOENT');
  });
});

function worker(): WorkerIngest {
  const ingest = new WorkerIngest(entry);
  onTestFinished(() => ingest.close());
  return ingest;
}

function logFile(text: string): SourceOnDisk {
  const path = join(temporaryFolder(), 'log.csv');
  writeFileSync(path, text);
  return { name: 'log.csv', path, sizeBytes: Buffer.byteLength(text), sha256: hashOf(text) };
}

function hashOf(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

async function mappingOf(source: SourceOnDisk) {
  return (await inlineIngest().preview({ sources: [source], overrides: {} }, {})).mapping;
}

async function read(
  ingest: IngestRunner,
  source: SourceOnDisk,
  folder: string,
  hooks: Hooks = {},
  known: Awaited<ReturnType<typeof mappingOf>> | null = null,
): Promise<ReadResult> {
  const mapping = known ?? (await mappingOf(source));
  const task = { sources: [source], mapping, columnsPath: join(folder, 'columns.bin'), columnsKey: 'k' };
  return ingest.read(task, hooks);
}
