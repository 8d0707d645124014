import { readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { copySource } from '../../server/store/keepSources.ts';
import { type SourceOnDisk, sha256OfFile } from '../../server/store/sourceFiles.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { addSmallTake, openWorkspace, temporaryWorkspace, uploadText } from './temporaryWorkspace.ts';

/** 101 units, of which the first two are one letter: the last 100 begin inside it. */
const OLD_ITALIC = `\u{10300}${'a'.repeat(95)}.csv`;
const ANOTHER = `\u{10301}${'a'.repeat(95)}.csv`;

/** The six columns of a log in two files. */
function halves(): [string, string] {
  const rows = smallLog()
    .trimEnd()
    .split('\n')
    .map((row) => row.split(','));
  const pick = (columns: readonly number[]) =>
    `${rows.map((row) => columns.map((i) => row[i]).join(',')).join('\n')}\n`;
  return [pick([0, 1, 2, 3]), pick([0, 4, 5, 6])];
}

describe('keeping the sources of a take', () => {
  test('two files whose names would be one on disk are both kept, byte for byte', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const workspace = await openWorkspace(path);
    const texts = halves();
    const uploadIds = [
      await uploadText(workspace, texts[0], OLD_ITALIC),
      await uploadText(workspace, texts[1], ANOTHER),
    ];
    const { mapping } = await workspace.preview(uploadIds, {}, {});
    const words = { title: 'Halves', performer: '', drill: '' };
    const { id } = await workspace.addTake({ uploadIds, mapping, ...words }, {});
    const kept = [await workspace.source(id, 0), await workspace.source(id, 1)];
    expect(kept.map((source) => readFileSync(source.path, 'utf8'))).toEqual(texts);
    expect(kept.map(({ name }) => name)).toEqual([OLD_ITALIC, ANOTHER]);
    expect(readdirSync(join(workspace.takes.folderOf(id), 'source'))).toHaveLength(2);
  });

  test('a name of letters that take three bytes each is cut to what a file system takes', async () => {
    const workspace = await temporaryWorkspace();
    const uploadId = await uploadText(workspace, smallLog(), `${'振'.repeat(200)}.csv`);
    const { mapping } = await workspace.preview([uploadId], {}, {});
    const { id } = await workspace.addTake(
      { uploadIds: [uploadId], mapping, title: 'x', performer: '', drill: '' },
      {},
    );
    const { path } = await workspace.source(id, 0);
    expect(readFileSync(path, 'utf8')).toBe(smallLog());
  });

  test('a take whose document does not say its files’ names on disk is read as before', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const workspace = await openWorkspace(path);
    const { id } = await addSmallTake(workspace);
    const folder = workspace.takes.folderOf(id);
    await workspace.close();
    const document = JSON.parse(readFileSync(join(folder, 'take.json'), 'utf8'));
    const [{ storedAs, ...source }] = document.sources;
    const older = { ...document, sources: [{ ...source, name: OLD_ITALIC }] };
    writeFileSync(join(folder, 'take.json'), JSON.stringify(older));
    // What such a name became on disk: half of its first letter, for which UTF-8 has U+FFFD.
    renameSync(join(folder, 'source', storedAs), join(folder, 'source', OLD_ITALIC.slice(-100)));
    const again = await openWorkspace(path);
    expect(again.problems).toEqual([]);
    expect(readFileSync((await again.source(id, 0)).path, 'utf8')).toBe(smallLog());
  });

  test('a document whose source lies outside its folder is not read', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const workspace = await openWorkspace(path);
    const { id } = await addSmallTake(workspace);
    const file = join(workspace.takes.folderOf(id), 'take.json');
    await workspace.close();
    writeFileSync(file, readFileSync(file, 'utf8').replace('"storedAs": "', '"storedAs": "../'));
    expect((await openWorkspace(path)).problems).toEqual([
      `The take in takes/${id} cannot be read: parts of it are missing or of the wrong kind (sources).`,
    ]);
  });
});

describe('the copy that stands in for a link', () => {
  async function upload(): Promise<{ source: SourceOnDisk; to: string }> {
    const folder = temporaryFolder();
    const path = join(folder, 'data');
    writeFileSync(path, 'a,b\n1,2\n');
    const source = { name: 'log.csv', sizeBytes: 8, sha256: await sha256OfFile(path), path };
    return { source, to: join(folder, 'kept.csv') };
  }

  test('is the same to the byte', async () => {
    const { source, to } = await upload();
    await copySource(source, to);
    expect(readFileSync(to, 'utf8')).toBe('a,b\n1,2\n');
  });

  test('never takes the place of another file', async () => {
    const { source, to } = await upload();
    writeFileSync(to, 'another recording');
    await expect(copySource(source, to)).rejects.toMatchObject({ code: 'EEXIST' });
    expect(readFileSync(to, 'utf8')).toBe('another recording');
  });

  test('that differs from what was handed in is refused and does not stay; the upload does', async () => {
    const { source, to } = await upload();
    writeFileSync(source.path, 'a,b\n1,3\n');
    await expect(copySource(source, to)).rejects.toMatchObject({ code: 'STORE_CORRUPT' });
    expect(readdirSync(join(to, '..'))).toEqual(['data']);
  });
});
