import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { type IngestRunner, inlineIngest } from '../../server/store/ingestTasks.ts';
import { OVERVIEW_NAME } from '../../server/store/overviewCache.ts';
import { seededRandom } from '../seeded.ts';
import { addSmallTake, temporaryWorkspace } from './temporaryWorkspace.ts';

/** A workspace with a take, and how often an overview was made in it. */
async function withTake() {
  const inline = inlineIngest();
  const made = { count: 0 };
  const ingest: IngestRunner = {
    ...inline,
    overview: (...task) => {
      ++made.count;
      return inline.overview(...task);
    },
  };
  const workspace = await temporaryWorkspace({ ingest });
  const { id } = await addSmallTake(workspace);
  return { workspace, id, made, path: join(workspace.takes.folderOf(id), OVERVIEW_NAME) };
}

test('an overview is made once and kept beside the columns', async () => {
  const { workspace, id, made, path } = await withTake();
  const first = await workspace.overview(id);
  expect(first.smoothing).toEqual(DEFAULT_CANDIDATE.smoothing);
  expect(first.calibration).toEqual(workspace.takes.get(id).calibration);
  expect(JSON.parse(readFileSync(path, 'utf8'))).toEqual({ ...first, crc32: expect.any(Number) });
  expect(await workspace.overview(id)).toEqual(first);
  expect(made.count).toBe(1);
  expect(readdirSync(workspace.takes.folderOf(id)).filter((name) => name.endsWith('.tmp'))).toEqual([]);
});

test('two that ask at once have it made once', async () => {
  const { workspace, id, made } = await withTake();
  const [one, other] = await Promise.all([workspace.overview(id), workspace.overview(id)]);
  expect(one).toEqual(other);
  expect(made.count).toBe(1);
});

test('one bit that turned over in it is noticed, wherever it lies: it is made again, and a line says so', async () => {
  const { workspace, id, path } = await withTake();
  const first = await workspace.overview(id);
  const before = readFileSync(path);
  const random = seededRandom(11);
  for (let flip = 0; flip < 40; ++flip) {
    const bytes = Buffer.from(before);
    const bit = Math.floor(random() * bytes.length * 8);
    bytes[bit >> 3]! ^= 1 << (bit & 7);
    writeFileSync(path, bytes);
    expect(await workspace.overview(id), `bit ${bit}`).toEqual(first);
    expect(readFileSync(path).equals(before)).toBe(true);
  }
  expect(workspace.problems).toEqual([expect.stringContaining('was damaged on the disk')]);
});

test.each([
  ['deleted', (path: string) => rmSync(path)],
  ['cut short', (path: string) => writeFileSync(path, readFileSync(path).subarray(0, 100))],
  ['emptied', (path: string) => writeFileSync(path, 'null')],
  [
    'of another key',
    (path: string) =>
      writeFileSync(path, JSON.stringify({ ...JSON.parse(readFileSync(path, 'utf8')), key: 'abc' })),
  ],
])('one that is %s is made again', async (_name, spoil) => {
  const { workspace, id, made, path } = await withTake();
  const first = await workspace.overview(id);
  spoil(path);
  expect(await workspace.overview(id)).toEqual(first);
  expect(made.count).toBe(2);
  expect(existsSync(path)).toBe(true);
});

test('another mount or another smoothing gives another one', async () => {
  const { workspace, id } = await withTake();
  const first = await workspace.overview(id);
  const { revision, calibration } = workspace.takes.get(id);
  // The log turns about its y: across either blade.
  const mount = /x/.test(calibration.mount.tip)
    ? ({ tip: '+z', side: '+x' } as const)
    : ({ tip: '+x', side: '+y' } as const);
  await workspace.takes.change(id, revision, {
    calibration: { ...calibration, mount },
  });
  const turned = await workspace.overview(id);
  expect(turned.highsDps).not.toEqual(first.highsDps);
  const { revision: now, a, b } = workspace.candidates.get();
  await workspace.candidates.put(now, { ...a, smoothing: { ...a.smoothing, cutoffHz: 2 } }, b);
  const smoothed = await workspace.overview(id);
  expect(smoothed.smoothing.cutoffHz).toBe(2);
  expect(smoothed.highsDps).not.toEqual(turned.highsDps);
});
