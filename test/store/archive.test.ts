import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { ZipFile } from 'yazl';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { LogFormatError } from '../../server/errors.ts';
import { importArchive, planImport } from '../../server/store/archive/importArchive.ts';
import { openArchive } from '../../server/store/archive/readArchive.ts';
import { archiveOf } from '../../server/store/archive/writeArchive.ts';
import { replaceFile } from '../../server/store/atomicFile.ts';
import type { TakeDocument } from '../../server/store/documents.ts';
import type { Workspace } from '../../server/store/workspace.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { addSmallTake, temporaryWorkspace } from './temporaryWorkspace.ts';

const DAY = '2031-05-02T00:00:00.000Z';

/** A workspace with two takes, one of them labelled, and the path of the archive of all of it. */
async function shared() {
  const workspace = await temporaryWorkspace();
  const first = await addSmallTake(workspace);
  const labels = {
    presses: [{ downUs: 200_000, button: 'power_button', intent: 'stray', by: 'person' }],
    spans: [],
    swings: [],
  } as const;
  const labelled = await workspace.takes.change(first.id, 0, { labels, performer: 'Lead spinner' });
  const other = await addSmallTake(workspace, smallLog().replace('0.01', '0.02'));
  const path = join(temporaryFolder(), 'takes.zip');
  await replaceFile(path, await archiveOf(workspace, null, DAY));
  return { workspace, labelled, other, path };
}

async function received(path: string, into: Workspace) {
  const archive = await openArchive(path, 'takes.zip');
  const plan = planImport(into, archive);
  const added = await importArchive(into, archive, 'takes.zip');
  archive.close();
  return { plan, added };
}

const bytesOf = async (workspace: Workspace, id: string) =>
  readFileSync((await workspace.source(id, 0)).path);
/** All that is not counted anew. */
const plain = ({ revision, ...rest }: TakeDocument) => rest;

describe('sharing takes', () => {
  test('a round trip gives the same takes, byte for byte and label for label, and their columns', async () => {
    const { workspace, labelled, other, path } = await shared();
    const into = await temporaryWorkspace();
    const { plan } = await received(path, into);
    expect(plan.takes.map(({ id, does }) => [id, does])).toEqual([
      [labelled.id, 'new'],
      [other.id, 'new'],
    ]);
    for (const { id } of [labelled, other]) {
      expect(plain(into.takes.get(id))).toEqual(plain(workspace.takes.get(id)));
      expect((await bytesOf(into, id)).equals(await bytesOf(workspace, id))).toBe(true);
      const [ours, theirs] = [await into.columns(id), await workspace.columns(id)];
      expect(readFileSync(ours.path).equals(readFileSync(theirs.path))).toBe(true);
    }
  });

  test('received a second time nothing changes', async () => {
    const { path } = await shared();
    const into = await temporaryWorkspace();
    await received(path, into);
    const before = into.takes.list();
    const { plan, added } = await received(path, into);
    expect(plan.takes.map(({ does }) => does)).toEqual(['here', 'here']);
    expect(added).toEqual([]);
    expect(into.takes.list()).toEqual(before);
  });

  test('a take that was labelled otherwise here stays, and the other comes in beside it', async () => {
    const { path, labelled: sent } = await shared();
    const into = await temporaryWorkspace();
    await received(path, into);
    const mine = await into.takes.change(sent.id, 0, { notes: 'Mine.' });
    const { plan, added } = await received(path, into);
    expect(plan.takes[0]).toMatchObject({ id: sent.id, does: 'copy' });
    expect(into.takes.get(sent.id)).toEqual(mine);
    expect(added).toHaveLength(1);
    expect(added[0]!.id).not.toBe(sent.id);
    expect(added[0]!.labels).toEqual(sent.labels);
  });

  test('kept settings come along, once, and with some takes alone those that are for any of them', async () => {
    const { workspace, labelled, other } = await shared();
    const keep = (name: string, performers: readonly string[]) =>
      workspace.settings.add({
        name,
        prop: '',
        performers,
        note: '',
        candidate: DEFAULT_CANDIDATE,
        evidence: null,
      });
    const own = await keep('For the spinner', ['lead spinner']);
    const anybodys = await keep('For anybody', []);
    const names = async (ids: readonly string[] | null) => {
      const path = join(temporaryFolder(), 'some.zip');
      await replaceFile(path, await archiveOf(workspace, ids, DAY));
      const into = await temporaryWorkspace();
      const first = await received(path, into);
      const again = await received(path, into);
      expect(again.plan.settings.every(({ does }) => does === 'here')).toBe(true);
      expect(
        into.settings
          .list()
          .map(({ name, keptAt }) => [name, keptAt])
          .sort(),
      ).toEqual(
        first.plan.settings.map(({ name }) => [name, (name === own.name ? own : anybodys).keptAt]).sort(),
      );
      return first.plan.settings.map(({ name, does }) => `${does} ${name}`).sort();
    };
    expect(await names(null)).toEqual(['new For anybody', 'new For the spinner']);
    expect(await names([labelled.id])).toEqual(['new For anybody', 'new For the spinner']);
    expect(await names([other.id])).toEqual(['new For anybody']);
  });

  test('some takes alone', async () => {
    const { workspace, other } = await shared();
    const path = join(temporaryFolder(), 'one.zip');
    await replaceFile(path, await archiveOf(workspace, [other.id], DAY));
    const archive = await openArchive(path, 'one.zip');
    expect(archive.takes.map(({ document }) => document.id)).toEqual([other.id]);
    archive.close();
  });
});

/** A zip of entries as given. */
async function zipOf(entries: readonly (readonly [string, string])[]): Promise<string> {
  const zip = new ZipFile();
  for (const [name, text] of entries) zip.addBuffer(Buffer.from(text), name);
  zip.end();
  const path = join(temporaryFolder(), 'odd.zip');
  await replaceFile(path, zip.outputStream as AsyncIterable<Uint8Array> & NodeJS.ReadableStream);
  return path;
}

const MANIFEST = [
  'moulinet.json',
  JSON.stringify({ format: 'moulinet archive', version: 1, createdAt: DAY, takes: [] }),
] as const;

/** Changes bytes of a file, everywhere, without changing its length. */
function patch(path: string, from: string | Buffer, to: string | Buffer): string {
  const bytes = readFileSync(path);
  const [old, other] = [Buffer.from(from), Buffer.from(to)];
  expect(other.length).toBe(old.length);
  let at = bytes.indexOf(old);
  expect(at).toBeGreaterThanOrEqual(0);
  for (; at >= 0; at = bytes.indexOf(old, at + 1)) other.copy(bytes, at);
  writeFileSync(path, bytes);
  return path;
}

async function refused(path: string, why: string): Promise<void> {
  const into = await temporaryWorkspace();
  const opened = openArchive(path, 'odd.zip');
  await expect(opened).rejects.toThrow(LogFormatError);
  await expect(opened).rejects.toThrow(why);
  expect(into.takes.list()).toEqual([]);
}

describe('an archive that cannot be trusted is refused', () => {
  test.each(['../../out.json', '/tmp/out.json.', 'a/../../out.js', 'C:/x/y/z.json.', 'takes\\..\\o.json'])(
    'a path that climbs out: %s',
    async (name) => {
      const inside = 'x'.repeat(name.length);
      const path = patch(await zipOf([MANIFEST, [inside, '{}']]), inside, name);
      await refused(path, 'odd.zip: it');
    },
  );

  test('a name twice', async () => {
    const path = await zipOf([
      MANIFEST,
      ['takes/carry-0001/take.json', '{}'],
      ['takes/carry-0002/take.json', '{}'],
    ]);
    await refused(
      patch(path, 'carry-0002', 'carry-0001'),
      'its entry "takes/carry-0001/take.json" cannot be used: it is there twice',
    );
  });

  test('an entry that would be larger than any recording', async () => {
    const path = await zipOf([MANIFEST, ['takes/carry-0001/source/0', 'x'.repeat(1_234_567)]]);
    const size = Buffer.alloc(4);
    size.writeUInt32LE(1_234_567);
    const large = Buffer.alloc(4);
    large.writeUInt32LE(4_000_000_000);
    await refused(patch(path, size, large), 'it would be 3815 MiB unpacked, and at most 512 MiB are taken');
  });

  test('an entry that unpacks to more than it says', async () => {
    const { path, other } = await shared();
    const archive = await openArchive(path, 'takes.zip');
    archive.close();
    const size = Buffer.alloc(4);
    size.writeUInt32LE(other.sources[0]!.sizeBytes);
    const less = Buffer.alloc(4);
    less.writeUInt32LE(other.sources[0]!.sizeBytes - 1);
    await refused(patch(path, size, less), 'lacks log.csv, or not all of it is there');
  });

  test('a source that is not the one the take was made from, and nothing of it is left', async () => {
    const { workspace, other } = await shared();
    const place = (await workspace.source(other.id, 0)).path;
    const path = join(temporaryFolder(), 'one.zip');
    const bytes = await archiveOf(workspace, [other.id], DAY);
    writeFileSync(place, readFileSync(place, 'utf8').replace('0.02', '0.03'));
    await replaceFile(path, bytes);
    const into = await temporaryWorkspace();
    const archive = await openArchive(path, 'one.zip');
    await expect(importArchive(into, archive, 'one.zip')).rejects.toThrow(
      'is not the recording that the take was made from',
    );
    archive.close();
    expect(into.takes.list()).toEqual([]);
    expect(readdirSync(join(into.path, 'takes'))).toEqual([]);
  });

  test.each([
    [
      'no zip',
      async () => {
        const path = join(temporaryFolder(), 'odd.zip');
        writeFileSync(path, 'no zip at all');
        return path;
      },
      'it is no zip file that can be read',
    ],
    [
      'a folder',
      async () => {
        const path = join(temporaryFolder(), 'odd.zip');
        mkdirSync(path);
        return path;
      },
      'it is no zip file that can be read',
    ],
    [
      'another zip',
      () => zipOf([['notes.txt', 'hello']]),
      'its entry "notes.txt" cannot be used: no archive of this program has such a name',
    ],
    ['an empty one', () => zipOf([]), 'it is no archive of this program'],
    [
      'one of a newer program',
      () => zipOf([['moulinet.json', MANIFEST[1].replace('"version":1', '"version":2')]]),
      'a newer version of this program wrote it',
    ],
    [
      'corrected columns that are none',
      () => zipOf([MANIFEST, ['mappings.json', '{"format":1,"mappings":[{}]}']]),
      'its entry "mappings.json" cannot be used: mappings[0].shape is none',
    ],
    [
      'a broken document',
      () => zipOf([MANIFEST, ['takes/a/take.json', '{"format":1']]),
      'its entry "takes/a/take.json" cannot be read',
    ],
    [
      'a document that is none',
      () => zipOf([MANIFEST, ['takes/a/take.json', '{"format":1,"sources":[null]}']]),
      'its take a cannot be used',
    ],
    [
      'a take that is not there',
      () => zipOf([['moulinet.json', MANIFEST[1].replace('[]', '[{"id":"a","title":"Carry"}]')]]),
      'the take "Carry" is not in it',
    ],
  ])('%s', async (_, make, why) => refused(await make(), why));
});
