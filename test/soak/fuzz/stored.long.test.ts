import { cpSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { WorkbenchError } from '../../../server/errors.ts';
import { importArchive, planImport } from '../../../server/store/archive/importArchive.ts';
import { openArchive } from '../../../server/store/archive/readArchive.ts';
import { archiveOf } from '../../../server/store/archive/writeArchive.ts';
import { replaceFile } from '../../../server/store/atomicFile.ts';
import { inlineIngest } from '../../../server/store/ingestTasks.ts';
import { Workspace } from '../../../server/store/workspace.ts';
import { smallLog } from '../../store/smallLog.ts';
import { makeFolder } from '../../store/temporaryFolder.ts';
import { addSmallTake } from '../../store/temporaryWorkspace.ts';
import { FUZZ_TIMEOUT, fuzz, mutated } from './fuzz.ts';

const { folder, remove } = makeFolder();
afterAll(remove);
const SOUND = join(folder, 'sound');
const ZIP = join(folder, 'takes.zip');
let takeId = '';

const open = (path: string) => Workspace.open(path, { ingest: inlineIngest() });

beforeAll(async () => {
  const workspace = await open(SOUND);
  ({ id: takeId } = await addSmallTake(workspace));
  await workspace.takes.change(takeId, 0, { notes: 'windy', labels: LABELS });
  const { a, b } = workspace.candidates.get();
  await workspace.candidates.put(0, a, b);
  const setting = { name: 'Spinner', prop: '', performers: [], note: '', evidence: null } as const;
  await workspace.settings.add({ ...setting, candidate: a });
  const shape = [{ delimiter: ',', decimal: '.' as const, columns: ['t', 'x'] }];
  await workspace.mappings.remember(shape, { rateHz: 100 }, 'a.csv', new Date(0).toISOString());
  await replaceFile(ZIP, await archiveOf(workspace, null, new Date(0).toISOString()));
  await workspace.close();
});

const LABELS = {
  presses: [{ downUs: 200_000, button: 'power_button', intent: 'stray', by: 'person' }],
  spans: [{ startUs: 1000, endUs: 500_000, kind: 'still', by: 'person' }],
  swings: [],
} as const;

/** Places in a document by number, and what is put there. */
const change = fc.tuple(
  fc.nat(2000),
  fc.oneof(
    fc.constantFrom<unknown>(
      null,
      [],
      {},
      '',
      0,
      -1,
      1e300,
      true,
      'x'.repeat(300),
      [null],
      { a: null },
      undefined,
    ),
    fc.jsonValue({ maxDepth: 2 }),
  ),
);

/** The document with another value at the place that a number names; undefined takes the place away. */
function changed(document: unknown, [at, value]: readonly [number, unknown]): unknown {
  const places: [Record<string, unknown>, string][] = [];
  const walk = (one: unknown): void => {
    if (typeof one !== 'object' || one === null) return;
    for (const key of Object.keys(one)) {
      places.push([one as Record<string, unknown>, key]);
      walk((one as Record<string, unknown>)[key]);
    }
  };
  const copy = structuredClone(document);
  walk(copy);
  const [parent, key] = places[at % Math.max(1, places.length)] ?? [{}, ''];
  if (value === undefined) delete parent[key];
  else parent[key] = value;
  return copy;
}

const FILES = ['take', 'candidates.json', 'mappings.json', 'workspace.json', 'setting'] as const;
const pathOf = (root: string, file: (typeof FILES)[number]) => {
  if (file === 'take') return join(root, 'takes', takeId, 'take.json');
  if (file !== 'setting') return join(root, file);
  return join(root, 'settings', settingFile());
};
const settingFile = () => settingNames()[0]!;
const settingNames = () => readdirSync(join(SOUND, 'settings')).filter((name) => name.endsWith('.json'));

test(
  'whatever stands in a document, the rest opens, or a sentence says why not; recordings stay',
  FUZZ_TIMEOUT,
  async () => {
    const log = Buffer.from(smallLog());
    const spoilt = fc.oneof(
      {
        weight: 4,
        arbitrary: fc
          .array(change, { minLength: 1, maxLength: 4 })
          .map((all) => (text: string) => JSON.stringify(all.reduce(changed, JSON.parse(text)))),
      },
      { weight: 1, arbitrary: fc.nat(5000).map((at) => (text: string) => text.slice(0, at)) },
      {
        weight: 1,
        arbitrary: fc.tuple(fc.nat(5000), fc.string({ maxLength: 4 })).map(
          ([at, by]) =>
            (text: string) =>
              text.slice(0, at) + by + text.slice(at + by.length),
        ),
      },
    );
    await fuzz('documents', fc.tuple(fc.constantFrom(...FILES), spoilt), 60, async ([file, spoil]) => {
      const root = join(folder, 'spoilt');
      rmSync(root, { recursive: true, force: true });
      cpSync(SOUND, root, { recursive: true });
      const path = pathOf(root, file);
      const before = readFileSync(path, 'utf8');
      const after = spoil(before);
      writeFileSync(path, after);
      await inWords(() => useAll(root));
      const kept = file === 'candidates.json' || file === 'mappings.json' ? null : readFileSync(path, 'utf8');
      if (kept !== null && file !== 'take') expect(kept).toBe(after);
      expect(readFileSync(join(root, 'takes', takeId, 'source', 'log.csv')).equals(log)).toBe(true);
    });
  },
);

/** Opens a workspace and asks for all that a page asks for, then closes it. */
async function useAll(root: string): Promise<void> {
  const workspace = await open(root);
  try {
    for (const text of [...workspace.problems, ...workspace.settings.problems])
      expect(text).not.toMatch(/Cannot read properties|is not a function|is not iterable|\[object/);
    for (const { id } of workspace.takes.list()) {
      await inWords(() => workspace.columns(id));
      await inWords(() => workspace.previewTake(id, null, {}));
      await inWords(() => workspace.takes.change(id, workspace.takes.get(id).revision, { drill: 'carry' }));
      await inWords(async () => {
        for await (const _ of await archiveOf(workspace, [id], new Date(0).toISOString()));
      });
    }
    JSON.stringify([workspace.settings.list(), workspace.mappings.list(), workspace.candidates.get()]);
    const upload = await workspace.uploads.receive('log.csv', Readable.from([Buffer.from(smallLog())]));
    await workspace.preview([upload.uploadId], {}, {}, true);
  } finally {
    await workspace.close();
  }
}

/** What is thrown is the user's to mend, and said so. */
async function inWords(act: () => Promise<unknown>): Promise<void> {
  try {
    await act();
  } catch (error) {
    if (!(error instanceof WorkbenchError)) throw error;
    expect(error.message).toMatch(/^.{10,}$/s);
  }
}

test('whatever became of a zip, it is refused in words or brings in whole takes', FUZZ_TIMEOUT, async () => {
  const zips = fc.constant(null).chain(() => mutated([readFileSync(ZIP)]));
  const root = join(folder, 'receiving');
  await fuzz('archives', zips, 60, async (bytes) => {
    const path = join(folder, 'odd.zip');
    writeFileSync(path, bytes);
    rmSync(root, { recursive: true, force: true });
    const workspace = await open(root);
    try {
      await inWords(async () => {
        const archive = await openArchive(path, 'odd.zip');
        try {
          planImport(workspace, archive);
          await importArchive(workspace, archive, 'odd.zip');
        } finally {
          archive.close();
        }
      });
      for (const { id } of workspace.takes.list()) {
        const source = await workspace.source(id, 0);
        expect(readFileSync(source.path, 'utf8')).toBe(smallLog());
        expect(workspace.takes.get(id).notes).toBe('windy');
        await workspace.columns(id);
      }
      expect(readdirSync(join(root, 'takes')).filter((name) => name.startsWith('.'))).toEqual([]);
    } finally {
      await workspace.close();
    }
    expect(existsSync(path)).toBe(true);
  });
});
