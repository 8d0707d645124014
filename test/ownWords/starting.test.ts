import { existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { Workspace } from '../../server/store/workspace.ts';
import { smallLog } from '../store/smallLog.ts';
import { temporaryFolder } from '../store/temporaryFolder.ts';
import { addSmallTake, uploadText } from '../store/temporaryWorkspace.ts';

/** What lies in the folder of a workspace as the program starts, a part of what is said, and what stays as it was. */
type Start = readonly [claim: string, lay: (path: string, takeId: string) => void, says: string | null];

const STARTING: readonly Start[] = [
  [
    'take.json with a source that is null',
    (path, id) => edit(join(path, 'takes', id, 'take.json'), (d) => ({ ...d, sources: [null] })),
    'parts of it are missing or of the wrong kind',
  ],
  [
    'take.json with a source without a size',
    (path, id) => edit(join(path, 'takes', id, 'take.json'), (d) => ({ ...d, sources: [{ name: 'a' }] })),
    'parts of it are missing or of the wrong kind',
  ],
  [
    'take.json with a column that is null',
    (path, id) =>
      edit(join(path, 'takes', id, 'take.json'), (d) => ({
        ...d,
        mapping: { ...(d['mapping'] as object), columns: [null] },
      })),
    'parts of it are missing or of the wrong kind (mapping.columns)',
  ],
  [
    'a link in uploads that leads nowhere',
    (path) => symlinkSync('/nowhere/at/all', join(path, 'uploads', 'lost')),
    null,
  ],
  ['a file in uploads', (path) => writeFileSync(join(path, 'uploads', 'notes.txt'), 'mine'), null],
  [
    'workspace.json is null',
    (path) => writeFileSync(join(path, 'workspace.json'), 'null\n'),
    'workspace.json cannot be read',
  ],
  ['workspace.json is gone', (path) => rmSync(join(path, 'workspace.json')), 'workspace.json was missing'],
  [
    'workspace.json is torn',
    (path) => writeFileSync(join(path, 'workspace.json'), '{"format": 1, "na'),
    'workspace.json cannot be read',
  ],
  [
    'garbage in candidates.json',
    (path) => writeFileSync(join(path, 'candidates.json'), '\0\0\0\0'),
    'candidates.json cannot be read',
  ],
  [
    'candidates.json is null',
    (path) => writeFileSync(join(path, 'candidates.json'), 'null'),
    'candidates.json cannot be read',
  ],
  [
    'a folder in the place of candidates.json',
    (path) => mkdirSync(join(path, 'candidates.json')),
    'candidates.json cannot be read',
  ],
  [
    'garbage in mappings.json',
    (path) => writeFileSync(join(path, 'mappings.json'), '{'),
    'mappings.json cannot be read',
  ],
  [
    'a file in the place of trash',
    (path) => {
      rmSync(join(path, 'trash'), { recursive: true });
      writeFileSync(join(path, 'trash'), 'mine');
    },
    'trash is no folder',
  ],
  [
    'a setting that is a folder',
    (path) => mkdirSync(join(path, 'settings', 'spinner.json')),
    'settings/spinner.json cannot be read',
  ],
];

describe('whatever lies in the folder, the program starts with the rest of it, or says in a sentence why not', () => {
  test.each(STARTING)('%s', async (_claim, lay, says) => {
    const path = join(temporaryFolder(), 'workspace');
    const first = await Workspace.open(path, { ingest: inlineIngest() });
    const [spoilt, sound] = [await addSmallTake(first), await addSmallTake(first)];
    await first.close();
    lay(path, spoilt.id);
    const told = await startAndUse(path, sound.id);
    if (says === null) expect(told).toEqual([]);
    else expect(told.join('\n')).toContain(says);
    expect(told.join('\n')).not.toMatch(
      /Cannot read|undefined|destructure|is not a function|is not iterable/,
    );
    expect(existsSync(join(path, 'takes', sound.id, 'source', 'log.csv'))).toBe(true);
  });
});

/** What the user is told; where the workspace opens, its sound take is used, and a new log is looked at. */
async function startAndUse(path: string, takeId: string): Promise<readonly string[]> {
  let workspace: Workspace;
  try {
    workspace = await Workspace.open(path, { ingest: inlineIngest() });
  } catch (error) {
    expect(error).toHaveProperty('code', expect.stringMatching(/^(WORKSPACE|STORE_CORRUPT)$/));
    return [(error as Error).message];
  }
  try {
    const told = [...workspace.problems, ...workspace.settings.problems];
    await workspace.columns(takeId);
    const { a, b, revision } = workspace.candidates.get();
    await workspace.candidates.put(revision, a, b);
    await workspace.preview([await uploadText(workspace, smallLog())], {}, {});
    return told;
  } finally {
    await workspace.close();
  }
}

function edit(path: string, change: (document: Record<string, unknown>) => object): void {
  writeFileSync(path, JSON.stringify(change(JSON.parse(readFileSync(path, 'utf8')))));
}
