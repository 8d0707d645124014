import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { StoreConflictError, StoreCorruptError } from '../../server/errors.ts';
import { addSmallTake, temporaryWorkspace } from './temporaryWorkspace.ts';

/** As an editor or a program that syncs folders does, while the workspace is open. */
function editElsewhere(path: string, change: (document: Record<string, unknown>) => object): string {
  const text = JSON.stringify(change(JSON.parse(readFileSync(path, 'utf8'))), null, 2);
  writeFileSync(path, text);
  return text;
}

const SETTING = { name: 'Spinner', prop: '', performers: [], note: 'first', evidence: null } as const;

describe('what another program has written meanwhile is not written over', () => {
  test('a take: who goes on from before is told, reads theirs, and saves on top of it', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    const path = join(workspace.takes.folderOf(id), 'take.json');
    const theirs = editElsewhere(path, (document) => ({ ...document, notes: 'theirs' }));
    await expect(workspace.takes.change(id, 0, { notes: 'mine' })).rejects.toThrow(StoreConflictError);
    expect(readFileSync(path, 'utf8')).toBe(theirs);
    const { notes, revision } = workspace.takes.get(id);
    expect([notes, revision]).toEqual(['theirs', 1]);
    const both = await workspace.takes.change(id, revision, { drill: 'mine' });
    expect(both).toMatchObject({ notes: 'theirs', drill: 'mine', revision: 2 });
    expect(JSON.parse(readFileSync(path, 'utf8'))).toEqual(both);
  });

  test('a take in another layout, all else the same, is no conflict', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    editElsewhere(join(workspace.takes.folderOf(id), 'take.json'), (document) => document);
    expect((await workspace.takes.change(id, 0, { notes: 'mine' })).revision).toBe(1);
  });

  test('a take that they left unreadable is left alone, and a sentence says so', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    const path = join(workspace.takes.folderOf(id), 'take.json');
    writeFileSync(path, '{"half":');
    for (const _ of [1, 2])
      await expect(workspace.takes.change(id, 0, { notes: 'mine' })).rejects.toThrow(StoreCorruptError);
    await expect(workspace.takes.change(id, 0, { notes: 'mine' })).rejects.toThrow(
      'nothing was written over it',
    );
    expect(readFileSync(path, 'utf8')).toBe('{"half":');
  });

  test('candidates', async () => {
    const workspace = await temporaryWorkspace();
    const { a, b } = workspace.candidates.get();
    await workspace.candidates.put(0, a, b);
    const path = join(workspace.path, 'candidates.json');
    const theirs = editElsewhere(path, (document) => ({
      ...document,
      a: { ...a, guard: { ...a.guard, speedDps: 333 } },
    }));
    await expect(workspace.candidates.put(1, b, a)).rejects.toThrow(StoreConflictError);
    expect(readFileSync(path, 'utf8')).toBe(theirs);
    const now = workspace.candidates.get();
    expect(now.a.guard.speedDps).toBe(333);
    expect((await workspace.candidates.put(now.revision, now.a, b)).revision).toBe(now.revision + 1);
  });

  test('candidates that appear where there were none', async () => {
    const workspace = await temporaryWorkspace();
    const { a, b } = workspace.candidates.get();
    const other = { version: 1, revision: 0, a: b, b: a };
    writeFileSync(join(workspace.path, 'candidates.json'), JSON.stringify(other).replace('"version":1,', ''));
    await expect(workspace.candidates.put(0, a, b)).rejects.toThrow(/changed/);
  });

  test('a kept setting, also where theirs cannot be read', async () => {
    const workspace = await temporaryWorkspace();
    const candidate = workspace.candidates.get().a;
    const { id } = await workspace.settings.add({ ...SETTING, candidate });
    const path = join(workspace.path, 'settings', `${id}.json`);
    const mine = { ...SETTING, candidate, note: 'mine' };
    const theirs = editElsewhere(path, (document) => ({ ...document, note: 'theirs' }));
    await expect(workspace.settings.put(id, 0, mine)).rejects.toThrow(StoreConflictError);
    expect([readFileSync(path, 'utf8'), workspace.settings.get(id).note]).toEqual([theirs, 'theirs']);
    writeFileSync(path, '');
    for (const _ of [1, 2])
      await expect(workspace.settings.put(id, 1, mine)).rejects.toThrow(StoreCorruptError);
    expect(readFileSync(path, 'utf8')).toBe('');
  });

  test('remembered columns: theirs and mine both stand', async () => {
    const workspace = await temporaryWorkspace();
    const shape = (name: string) => [{ delimiter: ',', decimal: '.' as const, columns: ['t', name] }];
    const remember = (name: string) =>
      workspace.mappings.remember(shape(name), { rateHz: 100 }, `${name}.csv`, new Date(0).toISOString());
    await remember('a');
    await remember('b');
    const path = join(workspace.path, 'mappings.json');
    editElsewhere(path, (document) => ({
      ...document,
      mappings: (document['mappings'] as object[]).slice(0, 1),
    }));
    await remember('c');
    expect(workspace.mappings.list().map(({ fileName }) => fileName)).toEqual(['a.csv', 'c.csv']);
  });
});
