import { createWriteStream } from 'node:fs';
import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { RECORDED_ON } from '../../engine/base/session.ts';
import { formatKeptFile } from '../../engine/kept/keptFile.ts';
import type { KeptSetting } from '../../engine/kept/keptSetting.ts';
import { CancelledError, LogFormatError } from '../../errors.ts';
import { shapeKey } from '../../ingest/ground/remembered.ts';
import type { Hooks } from '../../ingest/ground/types.ts';
import { syncFolder } from '../atomicFile.ts';
import type { TakeDocument } from '../documents.ts';
import { fromSystemError } from '../errors.ts';
import { newTakeId, parseTakeId } from '../ids.ts';
import { syncFile } from '../keepSources.ts';
import { sha256OfFile, sourceFileNames } from '../sourceFiles.ts';
import { SOURCE_FOLDER } from '../takeFolder.ts';
import type { Workspace } from '../workspace.ts';
import type { Archive, ArchivedTake } from './readArchive.ts';

/** What an import would do with a take. */
export interface TakePlan {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  /**
   * `here`: the workspace has it, with the same labels and settings, and nothing happens. `copy`: it has a take of this
   * id with other contents, which stays; the archive's comes in beside it. `new`: it comes in.
   */
  readonly does: 'new' | 'copy' | 'here';
}

export interface ImportPlan {
  readonly takes: readonly TakePlan[];
  /** Corrected columns that are not remembered here yet. */
  readonly newMappings: number;
  /** Kept settings by name; one that is here already, the same, does not come in again. */
  readonly settings: readonly { readonly name: string; readonly does: 'new' | 'here' }[];
}

/** What an import would change. Nothing that is here is ever written over. */
export function planImport(workspace: Workspace, archive: Archive): ImportPlan {
  return {
    takes: archive.takes.map(({ document }) => {
      const { id, title, performer } = document;
      return { id, title, performer, does: whatDoes(workspace, document) };
    }),
    newMappings: newMappings(workspace, archive).length,
    settings: archive.settings.map((setting) => ({
      name: setting.name,
      does: isHere(workspace, setting) ? 'here' : 'new',
    })),
  };
}

/**
 * Brings the takes of an archive in, each as a whole or not at all, then its settings. Stopped in the middle, it ends with those
 * that are in by then.
 * @returns the takes that came in, as they are called here
 * @throws LogFormatError  where a source is not what the take says of it; takes before it are in by then
 */
export async function importArchive(
  workspace: Workspace,
  archive: Archive,
  name: string,
  { signal }: Hooks = {},
): Promise<TakeDocument[]> {
  const added: TakeDocument[] = [];
  for (const take of archive.takes) {
    if (signal?.aborted) return stoppedAfter(added);
    const does = whatDoes(workspace, take.document);
    if (does === 'here') continue;
    added.push(await bringIn(workspace, take, does === 'copy', name));
  }
  for (const { shape, corrections, fileName, savedAt } of newMappings(workspace, archive))
    await workspace.mappings.remember(shape, corrections, fileName, savedAt);
  for (const setting of archive.settings)
    if (!isHere(workspace, setting)) await workspace.settings.add(setting);
  return added;
}

function whatDoes({ takes }: Workspace, document: TakeDocument): TakePlan['does'] {
  const own = contents(document);
  const all = takes.list().map(({ id }) => takes.get(id));
  if (all.some((one) => contents(one) === own)) return 'here';
  return all.some(({ id }) => id === document.id) ? 'copy' : 'new';
}

/** All that a person has brought into a take or decided about it. */
function contents({
  sources,
  mapping,
  labels,
  calibration,
  title,
  performer,
  drill,
  notes,
  ...document
}: TakeDocument): string {
  const bytes = sources.map(({ name, sha256 }) => [name, sha256]);
  const recordedOn = RECORDED_ON.map((name) => document[name] ?? '');
  return JSON.stringify([bytes, mapping, labels, calibration, title, performer, drill, notes, recordedOn]);
}

function isHere({ settings }: Workspace, setting: KeptSetting): boolean {
  const text = formatKeptFile(setting);
  return settings.list().some((one) => formatKeptFile(one) === text);
}

function newMappings({ mappings }: Workspace, archive: Archive) {
  const known = new Set(mappings.list().map(({ shape }) => shapeKey(shape)));
  return archive.mappings.filter(({ shape }) => !known.has(shapeKey(shape)));
}

/** @throws CancelledError  where nothing has come in */
function stoppedAfter(added: TakeDocument[]): TakeDocument[] {
  if (added.length === 0) throw new CancelledError();
  return added;
}

async function bringIn(
  { takes }: Workspace,
  { document, openSource }: ArchivedTake,
  isCopy: boolean,
  name: string,
): Promise<TakeDocument> {
  const isOwnId = !isCopy && !(await takes.isPlaceTaken(document.id));
  const id = isOwnId ? parseTakeId(document.id) : newTakeId(document.title);
  const staged = await takes.stage(id);
  try {
    const folder = join(staged, SOURCE_FOLDER);
    await mkdir(folder);
    const names = sourceFileNames(document.sources.map((source) => source.name));
    for (const [place, source] of document.sources.entries()) {
      const path = join(folder, names[place]!);
      await pipeline(await openSource(place), createWriteStream(path, { flags: 'wx' }));
      await syncFile(path);
      if ((await sha256OfFile(path)) === source.sha256) continue;
      throw new LogFormatError(
        `${source.name} of the take "${document.title}" is not the recording that the take was made from. Ask for the file again.`,
        { file: name },
      );
    }
    await syncFolder(folder);
    const sources = document.sources.map((source, place) => ({ ...source, storedAs: names[place]! }));
    return await takes.add(staged, { ...document, id, revision: 0, sources });
  } catch (error) {
    await rm(staged, { recursive: true, force: true });
    throw fromSystemError(error);
  }
}
