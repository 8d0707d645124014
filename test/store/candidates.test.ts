import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { parseCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { CANDIDATE_VERSION } from '../../server/engine/settings/candidateRules.ts';
import { StoreCorruptError } from '../../server/errors.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { openWorkspace } from './temporaryWorkspace.ts';

const STORED = new URL('../engine/settings/documents/', import.meta.url);

test.each([1, 2, 3])(
  'candidates that version %d of the program stored open, and are kept with their version',
  async (version) => {
    const path = join(temporaryFolder(), 'workspace');
    const file = join(path, 'candidates.json');
    await (await openWorkspace(path)).close();
    const text = readFileSync(new URL(`stored-v${version}.json`, STORED), 'utf8');
    writeFileSync(file, text);
    const workspace = await openWorkspace(path);
    const { a, b } = workspace.candidates.get();
    expect(a).toEqual(parseCandidateFile(readFileSync(new URL(`file-v${version}.json`, STORED), 'utf8')));
    expect(readFileSync(file, 'utf8')).toBe(text);
    await workspace.candidates.put(1, a, b);
    expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual({ version: CANDIDATE_VERSION, revision: 2, a, b });
    await workspace.close();
    expect((await openWorkspace(path)).candidates.get()).toEqual({ revision: 2, a, b });
  },
);

test('candidates of a newer program are refused, and stay as they are', async () => {
  const path = join(temporaryFolder(), 'workspace');
  const first = await openWorkspace(path);
  const { a, b } = first.candidates.get();
  await first.close();
  const file = join(path, 'candidates.json');
  const newer = CANDIDATE_VERSION + 1;
  const text = JSON.stringify({ version: newer, revision: 4, a: { ...a, jolt: {} }, b });
  writeFileSync(file, text);
  await expect(openWorkspace(path)).rejects.toThrow(StoreCorruptError);
  await expect(openWorkspace(path)).rejects.toThrow(
    `a newer version of this program wrote it: it is ${newer}, and this program reads no later one than ${CANDIDATE_VERSION}. Open the folder with that one, or move the file away to start anew.`,
  );
  expect(readFileSync(file, 'utf8')).toBe(text);
});

test('a broken file of candidates is told of, and set aside when candidates are kept, not overwritten', async () => {
  const path = join(temporaryFolder(), 'workspace');
  const first = await openWorkspace(path);
  const { a, b } = first.candidates.get();
  await first.candidates.put(0, a, b);
  await first.close();
  const file = join(path, 'candidates.json');
  const broken = readFileSync(file, 'utf8').replace('"speedDps": 240', '"speedDps": -240');
  writeFileSync(file, broken);
  const second = await openWorkspace(path);
  expect(second.problems).toEqual([
    expect.stringContaining('candidates.json cannot be read: guard.speedDps'),
  ]);
  expect(readFileSync(file, 'utf8')).toBe(broken);
  await second.candidates.put(0, b, a);
  expect(readFileSync(join(path, 'candidates.unreadable.json'), 'utf8')).toBe(broken);
  expect(second.problems).toEqual([]);
  await second.close();
  expect((await openWorkspace(path)).candidates.get()).toEqual({ revision: 1, a: b, b: a });
});
