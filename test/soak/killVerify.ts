import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { openArchive } from '../../server/store/archive/readArchive.ts';
import type { TakeDocument } from '../../server/store/documents.ts';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { sha256OfFile } from '../../server/store/sourceFiles.ts';
import { sourcesOf } from '../../server/store/takeFolder.ts';
import { Workspace } from '../../server/store/workspace.ts';
import type { Begun, Model } from './killModel.ts';

/** What is not as it was acknowledged, one line each; and what is there, for the next process to go on from. */
export interface Found {
  readonly faults: readonly string[];
  readonly model: Model;
}

/** Opens a workspace as a user would after a crash, and compares all of it with what was acknowledged. */
export async function verify(path: string, told: Model, begun: Begun | null): Promise<Found> {
  const faults: string[] = [];
  const logs = recordedBytes(path);
  const workspace = await Workspace.open(path, { ingest: inlineIngest() });
  try {
    const expect = (isSo: boolean, fault: string): void => {
      if (!isSo) faults.push(fault);
    };
    expect(workspace.problems.length === 0, `problems: ${workspace.problems.join(' ')}`);
    expect(workspace.settings.problems.length === 0, `problems: ${workspace.settings.problems.join(' ')}`);
    for (const rest of restsIn(path)) expect(false, `left over: ${rest}`);
    const found = await readAll(workspace);
    checkTakes(told, found, begun, expect);
    checkRest(told, found, begun, expect);
    for (const [id, bytes] of Object.entries(told.recordings))
      expect((logs[id] ?? -1) >= bytes, `recording ${id}: ${logs[id]} bytes of ${bytes}`);
    await checkSources(workspace, expect);
    await checkArchive(join(path, '..', 'shared.zip'), told, begun, expect);
    await checkRecordings(workspace, logs, expect);
    return { faults, model: (await readAll(workspace)).model };
  } finally {
    await workspace.close();
  }
}

type Expect = (isSo: boolean, fault: string) => void;

interface All {
  readonly model: Model;
  /** Documents of live and of removed takes. */
  readonly live: readonly TakeDocument[];
  readonly removed: readonly TakeDocument[];
}

async function readAll(workspace: Workspace): Promise<All> {
  const { path, takes, candidates, settings, mappings } = workspace;
  const live = takes.list().map(({ id }) => takes.get(id));
  const removed = readdirSync(join(path, 'trash')).map(
    (name): TakeDocument => ({
      ...JSON.parse(readFileSync(join(path, 'trash', name, 'take.json'), 'utf8')),
      id: name,
    }),
  );
  const takeEntry = (document: TakeDocument, isRemoved: boolean) =>
    [document.id, { notes: document.notes, sha256: document.sources[0]!.sha256, isRemoved }] as const;
  const aside = join(path, 'settings', '.removed');
  const asideNames = existsSync(aside) ? readdirSync(aside) : [];
  const uploads = readdirSync(join(path, 'uploads')).filter((id) =>
    existsSync(join(path, 'uploads', id, 'upload.json')),
  );
  const sources = await workspace.uploads.sources(uploads);
  const { revision, a } = candidates.get();
  return {
    live,
    removed,
    model: {
      takes: Object.fromEntries([
        ...removed.map((document) => takeEntry(document, true)),
        ...live.map((document) => takeEntry(document, false)),
      ]),
      uploads: Object.fromEntries(uploads.map((id, i) => [id, sources[i]!.sha256])),
      settings: Object.fromEntries([
        ...asideNames.map((name) => {
          const { note } = JSON.parse(readFileSync(join(aside, name), 'utf8'));
          return [name.replace('.json', ''), { note, isRemoved: true }] as const;
        }),
        ...settings.list().map(({ id, note }) => [id, { note, isRemoved: false }] as const),
      ]),
      candidates: { revision, speedDps: a.guard.speedDps },
      remembered: mappings.list().map(({ fileName }) => fileName),
      recordings: {},
      exported: existsSync(join(path, '..', 'shared.zip')) ? 0 : null,
    },
  };
}

function checkTakes(told: Model, { live, removed }: All, begun: Begun | null, expect: Expect): void {
  for (const [id, { notes, sha256, isRemoved }] of Object.entries(told.takes)) {
    const isInFlight = begun?.about === id;
    const texts = isInFlight && begun.kind === 'change' ? [notes, begun.after] : [notes];
    const isIt = (document: TakeDocument) =>
      texts.includes(document.notes) && document.sources[0]!.sha256 === sha256;
    const canBeEither = isInFlight && (begun.kind === 'remove' || begun.kind === 'restore');
    const isLive = live.some((document) => document.id === id && isIt(document));
    const isAside = removed.some(isIt);
    const isThere = canBeEither ? isLive || isAside : isRemoved ? isAside : isLive;
    expect(isThere, `take ${id}: not ${isRemoved ? 'in the trash' : 'there'} as acknowledged`);
  }
}

function checkRest(told: Model, { model }: All, begun: Begun | null, expect: Expect): void {
  for (const [id, sha256] of Object.entries(told.uploads)) {
    const isUsed = begun?.kind === 'add' && begun.about === id;
    expect(model.uploads[id] === sha256 || isUsed, `upload ${id} is gone`);
  }
  for (const [id, { note, isRemoved }] of Object.entries(told.settings)) {
    const isInFlight = begun?.about === id;
    const found = model.settings[id];
    const notes = isInFlight && begun.kind === 'putSetting' ? [note, begun.after] : [note];
    expect(found !== undefined && notes.includes(found.note), `setting ${id} is not as acknowledged`);
    const canBeEither = isInFlight && begun.kind !== 'putSetting';
    expect(found?.isRemoved === isRemoved || canBeEither, `setting ${id} is in the wrong place`);
  }
  const { revision, speedDps } = told.candidates;
  const now = model.candidates;
  const isNext = begun?.kind === 'candidates' && now.revision === revision + 1;
  const isSame = now.revision === revision && (revision === 0 || now.speedDps === speedDps);
  expect(isSame || (isNext && String(now.speedDps) === begun.after), 'candidates are not as acknowledged');
  for (const name of told.remembered) expect(model.remembered.includes(name), `${name} is not remembered`);
}

async function checkSources({ takes }: Workspace, expect: Expect): Promise<void> {
  for (const { id } of takes.list()) {
    const document = takes.get(id);
    for (const { path, sha256 } of sourcesOf(takes.folderOf(id), document))
      expect((await sha256OfFile(path)) === sha256, `the source of ${id} is another`);
  }
}

async function checkArchive(path: string, told: Model, begun: Begun | null, expect: Expect): Promise<void> {
  if (!existsSync(path)) return expect(told.exported === null, 'the zip is gone');
  const archive = await openArchive(path, 'shared.zip');
  archive.close();
  if (told.exported === null || told.exported === 0) return;
  const counts = [told.exported, begun?.kind === 'export' ? Number(begun.after) : told.exported];
  expect(counts.includes(archive.takes.length), `the zip holds ${archive.takes.length} takes, not ${counts}`);
}

/** What was recorded becomes a take with all its whole lines. */
async function checkRecordings(
  workspace: Workspace,
  logs: Record<string, number>,
  expect: Expect,
): Promise<void> {
  await workspace.recordings.tend();
  const kept = new Set(workspace.recordings.keptTakes.map(({ recordingId }) => recordingId));
  const waiting = new Set((await workspace.recordings.list()).map(({ document }) => document.id));
  for (const [id, bytes] of Object.entries(logs)) {
    const isKept = kept.has(id) || waiting.has(id) || bytes === 0;
    expect(isKept || kept.size === 20, `recording ${id} is neither a take nor a recording`);
  }
}

function recordedBytes(path: string): Record<string, number> {
  const root = join(path, 'recordings');
  if (!existsSync(root)) return {};
  const size = (log: string) => (existsSync(log) ? statSync(log).size : 0);
  return Object.fromEntries(readdirSync(root).map((id) => [id, size(join(root, id, 'log.csv'))]));
}

/** What a crash leaves and an opened workspace has not cleared away. */
function restsIn(path: string): string[] {
  return readdirSync(path, { recursive: true, encoding: 'utf8' }).filter(
    (name) => !name.startsWith('recordings') && /\.tmp$|\.adding-|columns\.new\.bin$|\.after-/.test(name),
  );
}
