import { access, mkdir, readdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { sessionName } from '../engine/base/session.ts';
import { basisFingerprint } from '../engine/kept/evidenceTake.ts';
import { StoreConflictError, StoreCorruptError, TakeNotFoundError } from '../errors.ts';
import { documentText, makeFolder, moveTo } from './atomicFile.ts';
import type {
  KnownFile,
  RemovedTakes,
  SourceFile,
  TakeChange,
  TakeDocument,
  TakeSummary,
} from './documents.ts';
import { messageOf, systemCode } from './errors.ts';
import { newTakeId, parseTakeId, type TakeId } from './ids.ts';
import type { SerialWork } from './serialWork.ts';
import { changeTake } from './takeChange.ts';
import {
  DOCUMENT_NAME,
  documentTextIn,
  readDocument,
  readRemoved,
  readTakeFolder,
  writeTakeDocument,
} from './takeFolder.ts';

/** A take is put together in a folder of this kind of name, which no id has, and appears as a whole. */
const STAGING = '.adding-';

/**
 * The takes of a workspace. The documents are kept in memory (the workspace is locked, so nobody else writes them)
 * and every change is on disk before its promise resolves.
 */
export class TakeStore {
  private readonly takesFolder: string;
  private readonly trashFolder: string;
  private readonly documents = new Map<TakeId, TakeDocument>();
  private readonly work: SerialWork;
  readonly problems: string[] = [];

  private constructor(takesFolder: string, trashFolder: string, work: SerialWork) {
    this.takesFolder = takesFolder;
    this.trashFolder = trashFolder;
    this.work = work;
  }

  /** Reads every take; those that cannot be read are left alone and told of in `problems`. */
  static async open(takesFolder: string, trashFolder: string, work: SerialWork): Promise<TakeStore> {
    const store = new TakeStore(takesFolder, trashFolder, work);
    for (const name of (await readdir(takesFolder)).sort()) await store.load(name);
    return store;
  }

  /** Oldest first. */
  list(): TakeSummary[] {
    return [...this.documents.values()].map(summaryOf).sort(byAge);
  }

  /** @throws TakeNotFoundError */
  get(id: string): TakeDocument {
    const document = this.documents.get(parseTakeId(id));
    if (!document) throw new TakeNotFoundError('There is no such take (any more).');
    return document;
  }

  /** Which of the files are sources of takes already, each with the oldest take that has it. */
  known(files: readonly SourceFile[]): KnownFile[] {
    const takes = [...this.documents.values()].sort(byAge);
    return files.flatMap(({ name, sha256 }) => {
      const take = takes.find(({ sources }) => sources.some((source) => source.sha256 === sha256));
      return take ? [{ name, takeId: take.id, title: take.title }] : [];
    });
  }

  /** Where the take's files lie. */
  folderOf(id: string): string {
    return join(this.takesFolder, parseTakeId(this.get(id).id));
  }

  /** A fresh folder in which to put a take together. */
  async stage(id: TakeId): Promise<string> {
    const folder = join(this.takesFolder, `${STAGING}${id}`);
    await makeFolder(this.takesFolder);
    // Two that put the same take together would spoil each other's: the second is refused here.
    await mkdir(folder);
    return folder;
  }

  /** Whether something lies where a take of this id would, be it one that cannot be read. */
  isPlaceTaken(id: string): Promise<boolean> {
    return isThere(join(this.takesFolder, parseTakeId(id)));
  }

  /**
   * Lets a take appear that was put together in a staging folder.
   * @throws StoreCorruptError  where something lies in its place
   */
  async add(staged: string, document: TakeDocument): Promise<TakeDocument> {
    const id = parseTakeId(document.id);
    await writeTakeDocument(staged, document);
    await this.refuseTaken(id);
    await moveTo(staged, join(this.takesFolder, id));
    this.documents.set(id, document);
    return document;
  }

  /** @throws TakeNotFoundError | StoreConflictError | TakeChangeError */
  change(id: string, revision: number, change: TakeChange): Promise<TakeDocument> {
    return this.update(id, revision, (document) => changeTake(document, change));
  }

  /**
   * Puts a document in the place of a take's.
   * @throws TakeNotFoundError | StoreConflictError  and what `make` throws
   */
  update(
    id: string,
    revision: number,
    make: (document: TakeDocument) => TakeDocument,
  ): Promise<TakeDocument> {
    return this.work.run(id, async () => {
      await this.takeOver(id);
      const changed = make(this.atRevision(id, revision));
      await writeTakeDocument(this.folderOf(id), changed);
      this.documents.set(parseTakeId(id), changed);
      return changed;
    });
  }

  /**
   * What another program has written into a take's document meanwhile is a change like any other: whoever goes on from the old
   * one is told.
   * @throws StoreCorruptError  where this program cannot read it; nothing is written over it
   */
  private async takeOver(id: string): Promise<void> {
    const known = this.get(id);
    const folder = this.folderOf(id);
    const text = await documentTextIn(folder);
    if (text === null || text === documentText(known)) return;
    const found = await readDocument(folder, id).catch((error: unknown) => {
      throw new StoreCorruptError(
        `Another program has changed ${join(folder, DOCUMENT_NAME)}, and it cannot be read: ${messageOf(error)}. Mend it, then save again; nothing was written over it.`,
      );
    });
    // The same in another layout, as a version of before wrote it, or theirs, known by now under its next revision.
    if (documentText({ ...found, revision: known.revision }) === documentText(known)) return;
    const revision = Math.max(known.revision + 1, found.revision);
    this.documents.set(parseTakeId(id), { ...found, revision });
  }

  /** @throws TakeNotFoundError | StoreConflictError  where the take has changed since that revision */
  atRevision(id: string, revision: number): TakeDocument {
    const document = this.get(id);
    if (document.revision === revision) return document;
    throw new StoreConflictError(
      `The take has changed since it was read (revision ${document.revision}, not ${revision}). Read it again.`,
    );
  }

  /** Moves a take to the trash, where it stays until the user empties the folder. */
  remove(id: string): Promise<void> {
    return this.work.run(id, async () => {
      const takeId = parseTakeId(id);
      const [document, from] = [this.get(id), this.folderOf(id)];
      // From here on it is not there: whoever asks for its files while they move is told so.
      this.documents.delete(takeId);
      try {
        await makeFolder(this.trashFolder);
        const to = join(this.trashFolder, takeId);
        // What lies there, of the same id or none, gets a name of its own.
        if (await isThere(to)) await moveTo(to, join(this.trashFolder, newTakeId(document.title)));
        await moveTo(from, to);
      } catch (error) {
        this.documents.set(takeId, document);
        throw error;
      }
    });
  }

  /** Brings a take back from the trash. */
  restore(id: string): Promise<TakeDocument> {
    return this.work.run(id, async () => {
      const takeId = parseTakeId(id);
      if (this.documents.has(takeId)) return this.get(id);
      const from = join(this.trashFolder, takeId);
      const { document, isNamedAnew } = await readRemoved(from, takeId).catch((error: unknown) => {
        throw error instanceof StoreCorruptError
          ? new TakeNotFoundError('The trash holds no such take.')
          : error;
      });
      await this.refuseTaken(takeId);
      if (isNamedAnew) await writeTakeDocument(from, document);
      await moveTo(from, join(this.takesFolder, takeId));
      this.documents.set(takeId, document);
      return document;
    });
  }

  /** What lies in the trash, oldest first; and what there cannot be read, one plain sentence each. */
  async removed(): Promise<RemovedTakes> {
    const takes: TakeSummary[] = [];
    const problems: string[] = [];
    for (const name of (await namesIn(this.trashFolder)).sort()) {
      if (name.startsWith('.')) continue;
      try {
        const id = parseTakeId(name);
        takes.push(summaryOf((await readRemoved(join(this.trashFolder, id), id)).document));
      } catch (error) {
        problems.push(whyNoTake(error, 'The removed take', `trash/${name}`));
      }
    }
    return { takes: takes.sort(byAge), problems };
  }

  private async refuseTaken(id: TakeId): Promise<void> {
    if (await this.isPlaceTaken(id))
      throw new StoreCorruptError(
        `${join(this.takesFolder, id)} is there already, and is no take that this program can read. Move it away and try again.`,
      );
  }

  private async load(name: string): Promise<void> {
    if (name.startsWith(STAGING)) return rm(join(this.takesFolder, name), { recursive: true, force: true });
    if (name.startsWith('.')) return;
    try {
      const id = parseTakeId(name);
      this.documents.set(id, await readTakeFolder(join(this.takesFolder, id), id));
    } catch (error) {
      this.problems.push(whyNoTake(error, 'The take', `takes/${name}`));
    }
  }
}

function isThere(path: string): Promise<boolean> {
  return access(path).then(
    () => true,
    () => false,
  );
}

/** None where the folder was deleted by hand. */
function namesIn(folder: string): Promise<string[]> {
  return readdir(folder).catch((error: unknown) => {
    if (systemCode(error) === 'ENOENT') return [];
    throw error;
  });
}

/** Why there is no take at a place in the workspace. @throws the error itself where it is about something else */
function whyNoTake(error: unknown, what: string, place: string): string {
  if (error instanceof StoreCorruptError) return `${what} in ${place} cannot be read: ${error.message}.`;
  if (error instanceof TakeNotFoundError) return `${place} is no take.`;
  throw error;
}

type Aged = Pick<TakeDocument, 'createdAt' | 'id'>;

function summaryOf(document: TakeDocument): TakeSummary {
  const { id, title, performer, drill, isDemo, createdAt, revision, report } = document;
  return {
    id,
    title,
    performer,
    drill,
    prop: document.prop ?? '',
    session: sessionName(document),
    durationS: report.durationS,
    rateHz: report.rateHz,
    pressCount: document.presses.filter(({ button }) => button === document.powerButton).length,
    isDemo,
    createdAt,
    useUnfit: document.useUnfit === true,
    revision,
    fingerprint: fingerprintOf(document),
  };
}

const fingerprints = new WeakMap<TakeDocument, string>();

function fingerprintOf(document: TakeDocument): string {
  const known = fingerprints.get(document) ?? basisFingerprint(document);
  fingerprints.set(document, known);
  return known;
}

function byAge(a: Aged, b: Aged): number {
  if (a.createdAt !== b.createdAt) return a.createdAt < b.createdAt ? -1 : 1;
  return a.id < b.id ? -1 : 1;
}
