import fs, {
  cpSync,
  existsSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { StoreCorruptError } from '../../server/errors.ts';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { codeOfSummaries } from '../../server/store/takeIndex.ts';
import { Workspace, type WorkspaceOptions } from '../../server/store/workspace.ts';
import { onFaultyDisk, readOnly } from './faultyDisk.ts';
import { smallLog } from './smallLog.ts';
import { makeFolder, temporaryFolder } from './temporaryFolder.ts';
import { addSmallTake, openWorkspace } from './temporaryWorkspace.ts';

const LATER_MS = 10_000;
/** As if some seconds had passed: a document that was written just now is not trusted to an index. */
const INDEXED: Partial<WorkspaceOptions> = { listingCode: 'this code', now: () => Date.now() + LATER_MS };
const IDS = ['first', 'second', 'third'] as const;

let original: string;
let removeOriginal: () => void;
afterAll(() => removeOriginal());

beforeAll(async () => {
  const { folder, remove } = makeFolder();
  original = join(folder, 'workspace');
  removeOriginal = remove;
  const workspace = await Workspace.open(original, { ingest: inlineIngest() });
  const { id } = await addSmallTake(workspace);
  await workspace.close();
  for (const [i, name] of IDS.entries()) {
    cpSync(join(original, 'takes', id), join(original, 'takes', name), { recursive: true });
    const path = documentPath(original, name);
    const title = `Take ${i}`;
    writeFileSync(
      path,
      `${JSON.stringify({ ...JSON.parse(readFileSync(path, 'utf8')), id: name, title }, null, 1)}\n`,
    );
  }
  rmSync(join(original, 'takes', id), { recursive: true });
});

/** A workspace of three takes with an index of them. */
async function indexed(): Promise<string> {
  const path = join(temporaryFolder(), 'workspace');
  cpSync(original, path, { recursive: true });
  await (await openWorkspace(path, INDEXED)).close();
  expect(existsSync(indexPath(path))).toBe(true);
  // Whatever is written next lies in another tick of the disk's clock.
  await setTimeout(20);
  return path;
}

const indexPath = (path: string) => join(path, 'takes-index.json');
const documentPath = (path: string, id: string) => join(path, 'takes', id, 'take.json');

function edit(path: string, id: string, change: (text: string) => string): void {
  const at = documentPath(path, id);
  writeFileSync(at, change(readFileSync(at, 'utf8')));
}

async function told(path: string, options: Partial<WorkspaceOptions>) {
  const workspace = await openWorkspace(path, options);
  const { takes, problems } = { takes: workspace.takes.list(), problems: workspace.problems };
  await workspace.close();
  return { takes, problems };
}

/** Takes whose documents are read while something is done. */
async function readDuring<T>(act: () => Promise<T>): Promise<string[]> {
  const real = fs.promises.readFile;
  const read: string[] = [];
  fs.promises.readFile = ((...args: Parameters<typeof real>) => {
    const id = /takes\/([^/]+)\/take\.json$/.exec(String(args[0]))?.[1];
    if (id !== undefined) read.push(id);
    return real(...args);
  }) as typeof real;
  syncBuiltinESMExports();
  try {
    await act();
  } finally {
    fs.promises.readFile = real;
    syncBuiltinESMExports();
  }
  return read;
}

describe('the index of takes', () => {
  test('a second opening reads no document, and lists the same', async () => {
    const path = await indexed();
    let workspace!: Workspace;
    const read = await readDuring(async () => {
      workspace = await openWorkspace(path, INDEXED);
    });
    expect(read).toEqual([]);
    const list = workspace.takes.list();
    expect(list.map(({ title }) => title)).toEqual(['Take 0', 'Take 1', 'Take 2']);
    await workspace.close();
    expect(list).toEqual((await told(path, { listingCode: null })).takes);
  });

  test('only what was changed is read again', async () => {
    const path = await indexed();
    edit(path, 'second', (text) => text.replace('Take 1', 'Take X'));
    expect(await readDuring(() => told(path, INDEXED))).toEqual(['second']);
  });

  test('after any changes by other programs it tells what the documents tell', async () => {
    const act = fc.record({
      id: fc.constantFrom(...IDS),
      what: fc.constantFrom('edit', 'same length', 'replace', 'set back', 'swap', 'remove', 'tear', 'copy'),
    });
    const property = fc.asyncProperty(fc.array(act, { minLength: 1, maxLength: 4 }), async (acts) => {
      const path = await indexed();
      for (const { id, what } of acts) if (existsSync(documentPath(path, id))) ACTS[what]!(path, id);
      const scanned = await told(path, { listingCode: null });
      expect(await told(path, INDEXED)).toEqual(scanned);
      // What that one has written tells it too.
      expect(await told(path, INDEXED)).toEqual(scanned);
    });
    await fc.assert(property, { numRuns: 25, seed: 5 });
  });

  test('a document that was written a moment ago is read again', async () => {
    const path = await indexed();
    const options = { ...INDEXED, now: () => Date.now() + LATER_MS };
    const workspace = await openWorkspace(path, options);
    await workspace.takes.change('first', 0, { notes: 'windy' });
    await workspace.close();
    // By its true time it is too young.
    const young = await openWorkspace(path, { ...INDEXED, now: () => Date.now() });
    await young.close();
    const read = await readDuring(() => told(path, { ...INDEXED, now: () => Date.now() }));
    expect(read).toContain('first');
  });

  test.each([
    ['damaged', (text: string) => text.replace('Take 1', 'Take 7')],
    ['cut off', (text: string) => text.slice(0, text.length / 2)],
    ['of other code', (text: string) => text.replace('this code', 'that code')],
    ['no index', () => '[]'],
  ])('one that is %s tells nothing', async (_what, change) => {
    const path = await indexed();
    writeFileSync(indexPath(path), change(readFileSync(indexPath(path), 'utf8')));
    let takes: unknown;
    const read = await readDuring(async () => {
      ({ takes } = await told(path, INDEXED));
    });
    expect(read).toEqual(expect.arrayContaining([...IDS]));
    expect(takes).toEqual((await told(path, { listingCode: null })).takes);
  });

  test('one from a later time than now tells nothing: the clock was set back', async () => {
    const path = await indexed();
    const read = await readDuring(() => told(path, { ...INDEXED, now: () => Date.now() - 1 }));
    expect(read).toEqual(expect.arrayContaining([...IDS]));
  });

  test('a change by another program behind its back is found with the take, and the list follows', async () => {
    const path = await indexed();
    const workspace = await openWorkspace(path, INDEXED);
    edit(path, 'third', (text) => text.replace('Take 2', 'Theirs'));
    expect(workspace.takes.get('third').title).toBe('Theirs');
    expect(workspace.takes.list()[2]!.title).toBe('Theirs');
    edit(path, 'second', () => '{"half":');
    expect(() => workspace.takes.get('second')).toThrow(StoreCorruptError);
    expect(() => workspace.takes.get('second')).toThrow('takes/second cannot be read');
  });

  test('it follows what is changed, removed and added here', async () => {
    const path = await indexed();
    const workspace = await openWorkspace(path, INDEXED);
    await workspace.takes.change('first', 0, { title: 'Mine' });
    await workspace.takes.remove('second');
    await addSmallTake(workspace, smallLog(), 'New');
    const list = workspace.takes.list();
    expect(list.map(({ title }) => title).sort()).toEqual(['Mine', 'New', 'Take 2']);
    await workspace.close();
    expect(await readDuring(async () => expect((await told(path, INDEXED)).takes).toEqual(list))).toEqual([]);
  });

  test('sources are known by it', async () => {
    const path = await indexed();
    const workspace = await openWorkspace(path, INDEXED);
    const source = workspace.takes.get('second').sources[0]!;
    await workspace.close();
    const again = await openWorkspace(path, INDEXED);
    expect(again.takes.known([{ ...source, name: 'other.csv' }])).toEqual([
      { name: 'other.csv', takeId: 'first', title: 'Take 0' },
    ]);
  });

  test('half a file that a crash left in a folder goes all the same', async () => {
    const path = await indexed();
    writeFileSync(`${documentPath(path, 'first')}.1-1.tmp`, '{');
    await told(path, INDEXED);
    expect(readdirSync(join(path, 'takes', 'first')).filter((name) => name.endsWith('.tmp'))).toEqual([]);
  });

  test('a disk that takes no index is no problem', async () => {
    const path = await indexed();
    rmSync(indexPath(path));
    const workspace = await openWorkspace(path, INDEXED);
    await onFaultyDisk(readOnly, () => workspace.takes.keepIndex());
    expect(workspace.takes.list()).toHaveLength(3);
    expect(workspace.problems).toEqual([]);
  });

  test('code that has no name keeps none', () => {
    expect(codeOfSummaries()).toBeNull();
  });
});

const ACTS: Readonly<Record<string, (path: string, id: string) => void>> = {
  edit: (path, id) => edit(path, id, (text) => text.replace('"performer": "', '"performer": "Other ')),
  'same length': (path, id) => edit(path, id, (text) => text.replace(/"title": "./, '"title": "#')),
  replace: (path, id) => {
    const at = documentPath(path, id);
    writeFileSync(`${at}.new`, readFileSync(at, 'utf8').replace(/"title": "./, '"title": "%'));
    renameSync(`${at}.new`, at);
  },
  'set back': (path, id) => {
    const { atime, mtime } = statSync(documentPath(path, id));
    edit(path, id, (text) => text.replace(/"title": "./, '"title": "@'));
    utimesSync(documentPath(path, id), atime, mtime);
  },
  swap: (path, id) => {
    const [a, b] = [documentPath(path, id), documentPath(path, 'first')];
    if (!existsSync(b)) return;
    renameSync(a, `${a}.old`);
    if (existsSync(b)) renameSync(b, a);
    renameSync(`${a}.old`, b);
  },
  remove: (path, id) => rmSync(join(path, 'takes', id), { recursive: true }),
  tear: (path, id) => edit(path, id, (text) => text.slice(0, 200)),
  copy: (path, id) => {
    const to = join(path, 'takes', `${id}-again`);
    if (existsSync(to)) return;
    cpSync(join(path, 'takes', id), to, { recursive: true, preserveTimestamps: true });
    writeFileSync(
      join(to, 'take.json'),
      readFileSync(join(to, 'take.json'), 'utf8').replace(`"${id}"`, `"${id}-again"`),
    );
  },
};
