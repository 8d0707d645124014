import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import { makeFolder, writeOutput } from '../../server/cli/outputFile.ts';
import { importArchive } from '../../server/store/archive/importArchive.ts';
import { openArchive } from '../../server/store/archive/readArchive.ts';
import { archiveOf } from '../../server/store/archive/writeArchive.ts';
import type { TakeDocument } from '../../server/store/documents.ts';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { Recorder } from '../../server/store/recordings/recorder.ts';
import { sourcesOf } from '../../server/store/takeFolder.ts';
import { Workspace } from '../../server/store/workspace.ts';
import { PowerCut } from './powerCut.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { addSmallTake, uploadText } from './temporaryWorkspace.ts';

type Check = (workspace: Workspace, disk: string) => Promise<void> | void;

/** A thing that is done; it tells what has to be there from the moment on at which it was acknowledged. */
interface Deed {
  readonly name: string;
  readonly act: (workspace: Workspace, acknowledge: (check: Check) => void, disk: string) => Promise<void>;
}

const SETTING = { name: 'Spinner', prop: '', performers: [], note: 'first', evidence: null } as const;

const DEEDS: readonly Deed[] = [
  {
    name: 'an upload',
    act: async (workspace, acknowledge) => {
      const id = await uploadText(workspace, smallLog());
      acknowledge(async (after) => {
        const [source] = await after.uploads.sources([id]);
        expect(readFileSync(source!.path, 'utf8')).toBe(smallLog());
      });
    },
  },
  {
    name: 'a take that is added',
    act: async (workspace, acknowledge) => acknowledge(hasTake(await addSmallTake(workspace))),
  },
  {
    name: 'labels and notes that are saved',
    act: async (workspace, acknowledge) => {
      const { id } = await addSmallTake(workspace);
      acknowledge(hasTake(await workspace.takes.change(id, 0, { notes: 'windy' })));
    },
  },
  {
    name: 'a take that is removed, which is in the trash or there still',
    act: async (workspace, acknowledge) => {
      const take = await addSmallTake(workspace);
      acknowledge(hasTakeSomewhere(take));
      await workspace.takes.remove(take.id);
    },
  },
  {
    name: 'a take that is brought back',
    act: async (workspace, acknowledge) => {
      const take = await addSmallTake(workspace);
      acknowledge(hasTakeSomewhere(take));
      await workspace.takes.remove(take.id);
      await workspace.takes.restore(take.id);
      acknowledge(hasTake(take));
    },
  },
  {
    name: 'a take that is read again',
    act: async (workspace, acknowledge) => {
      const { id, mapping } = await addSmallTake(workspace);
      const mount = { tip: '-x', side: '+y' } as const;
      const read = await workspace.rereadTake(
        id,
        { revision: 0, mapping: { ...mapping, mount }, dropsLabels: true },
        {},
      );
      acknowledge(hasTake(read.document!));
    },
  },
  {
    name: 'candidates',
    act: async (workspace, acknowledge) => {
      const { revision, a, b } = workspace.candidates.get();
      const put = await workspace.candidates.put(revision, b, a);
      acknowledge((after) => expect(after.candidates.get()).toEqual(put));
    },
  },
  {
    name: 'a setting that is kept, removed and brought back',
    act: async (workspace, acknowledge) => {
      const candidate = workspace.candidates.get().a;
      const { id } = await workspace.settings.add({ ...SETTING, candidate });
      acknowledge(async (after) => expect((await after.settings.restore(id)).note).toBe('first'));
      await workspace.settings.remove(id);
      const kept = await workspace.settings.restore(id);
      acknowledge((after) => expect(after.settings.get(id)).toEqual(kept));
    },
  },
  {
    name: 'columns that are remembered',
    act: async (workspace, acknowledge) => {
      const shape = [{ delimiter: ',', decimal: '.' as const, columns: ['t', 'x'] }];
      await workspace.mappings.remember(shape, { rateHz: 100 }, 'a.csv', new Date(0).toISOString());
      acknowledge((after) => expect(after.mappings.list()).toHaveLength(1));
    },
  },
  {
    name: 'a zip of takes, written and brought in elsewhere',
    act: async (workspace, acknowledge, disk) => {
      const take = await addSmallTake(workspace);
      const zip = join(disk, 'new', 'shared.zip');
      await makeFolder(join(disk, 'new'));
      await writeOutput(
        { option: '--out', path: zip, inputs: [] },
        await archiveOf(workspace, [take.id], new Date(0).toISOString()),
      );
      acknowledge(async (_after, remains) =>
        (await openArchive(join(remains, 'new', 'shared.zip'), 'shared.zip')).close(),
      );
      await workspace.takes.change(take.id, 0, { notes: 'changed since' });
      const archive = await openArchive(zip, 'shared.zip');
      const [added] = await importArchive(workspace, archive, 'shared.zip');
      archive.close();
      acknowledge(hasTake(added!));
    },
  },
  {
    name: 'a recording that has ended',
    act: async (_workspace, acknowledge, disk) => {
      const root = join(disk, 'workspace', 'recordings');
      const names = { source: 'port', title: 'Live', performer: '', drill: '' };
      const recorder = await Recorder.begin(root, { ...names, joins: false });
      recorder.receive(Buffer.from(smallLog()));
      await recorder.end(true);
      acknowledge((after) =>
        expect(readFileSync(join(after.path, 'recordings', recorder.id, 'log.csv'), 'utf8')).toBe(smallLog()),
      );
    },
  },
  {
    name: 'a recording that becomes a take',
    act: async (workspace, acknowledge) => {
      const id = await workspace.recordings.ofPages.begin({
        source: 'port',
        title: 'Live',
        performer: '',
        drill: '',
        joins: false,
      });
      workspace.recordings.ofPages.get(id).receive(Buffer.from(smallLog()));
      await workspace.recordings.ofPages.end(id);
      acknowledge(async (after) => {
        await after.recordings.tend();
        expect(after.takes.list().map(({ title }) => title)).toContain('Live');
      });
      const kept = await workspace.recordings.keep(id);
      acknowledge(hasTake(workspace.takes.get(kept.kind === 'take' ? kept.takeId : '')));
    },
  },
];

describe('a power cut that loses all that was not flushed, after any flush, takes nothing that was acknowledged', () => {
  test.each(DEEDS.map((deed) => [deed.name, deed] as const))('%s', async (_name, deed) => {
    const [disk, kept, cuts] = [temporaryFolder(), temporaryFolder(), temporaryFolder()];
    const power = new PowerCut(disk, kept);
    onTestFinished(() => power.close());
    let cut = 0;
    const cutNow = (): string => {
      const to = join(cuts, String(++cut));
      power.remains(to);
      return to;
    };
    // What is left after each flush, and what was acknowledged by then; opened when nobody listens to flushes any more.
    const cases: { readonly state: string; readonly checks: readonly Check[] }[] = [];
    let checks: readonly Check[] = [];
    const note = () => cases.push({ state: cutNow(), checks });
    const acknowledge = (check: Check): void => {
      checks = [...checks, check];
      note();
    };
    await power.during(async () => {
      const workspace = await Workspace.open(join(disk, 'workspace'), { ingest: inlineIngest() });
      acknowledge(hasTake(await addSmallTake(workspace, smallLog(50), 'There before')));
      await deed.act(workspace, acknowledge, disk);
      await workspace.close();
    }, note);
    const later = cases.filter((one) => one.checks.length > 0);
    for (const one of later) await whenOpened(one.state, one.checks);
    expect(later.length).toBeGreaterThan(3);
  });
});

/** After a power cut: nothing is told as unreadable, and what is to be there is. */
async function whenOpened(state: string, checks: readonly Check[]): Promise<void> {
  expect(existsSync(join(state, 'workspace')), 'the workspace itself').toBe(true);
  // Its owner went down with the power.
  rmSync(join(state, 'workspace', 'server.lock'), { force: true });
  const workspace = await Workspace.open(join(state, 'workspace'), { ingest: inlineIngest() });
  try {
    expect([...workspace.problems, ...workspace.settings.problems]).toEqual([]);
    for (const check of checks) await check(workspace, state);
  } finally {
    await workspace.close();
  }
}

function hasTake(take: TakeDocument): Check {
  return ({ takes }) => {
    expect(takes.get(take.id)).toEqual(take);
    for (const { path, sizeBytes } of sourcesOf(takes.folderOf(take.id), take))
      expect(readFileSync(path).length).toBe(sizeBytes);
  };
}

/** Either where it was or in the trash, as a whole. */
function hasTakeSomewhere(take: TakeDocument): Check {
  return async (workspace, disk) => {
    const isGone = workspace.takes.list().every(({ id }) => id !== take.id);
    if (isGone) await workspace.takes.restore(take.id);
    await hasTake(take)(workspace, disk);
  };
}
