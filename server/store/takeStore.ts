import { access, mkdir, readdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
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
import { byAge, ListedTakes, summaryOf } from './listedTakes.ts';
import type { SerialWork } from './serialWork.ts';
import { changeTake } from './takeChange.ts';
import { DOCUMENT_NAME, documentTextIn, readDocument, readRemoved, writeTakeDocument } from './takeFolder.ts';
import { INDEX_NAME, type IndexedTake, readIndex, writeIndex } from './takeIndex.ts';

/** A take is put together in a folder of this kind of name, which no id has, and appears as a whole. */
const STAGING = '.adding-';

export interface TakePlaces {
  readonly takes: string;
  readonly trash: string;
  /** Null where none is kept. */
  readonly index: { readonly path: string; readonly code: string } | null;
}

/**
 * The takes of a workspace. Documents that were asked for stay in memory (the workspace is locked, so nobody else writes
 * them), and every change is on disk before its promise resolves.
 */
export class TakeStore {
  private readonly places: TakePlaces;
  private readonly listed: ListedTakes;
  private readonly work: SerialWork;
  private readonly now: () => number;
  /** Whether the index tells of the takes as they are. */
  private isIndexed = false;
  readonly problems: string[] = [];

  private constructor(places: TakePlaces, work: SerialWork, now: () => number) {
    this.places = places;
    this.listed = new ListedTakes(places.takes, now);
    this.work = work;
    this.now = now;
  }

  /** Finds every take, and reads those that no index tells of; those that cannot be read are left alone and told of in `problems`. */
  static async open(places: TakePlaces, work: SerialWork, now: () => number): Promise<TakeStore> {
    const store = new TakeStore(places, work, now);
    const { takes, index } = places;
    const indexed = index === null ? new Map() : await readIndex(index.path, index.code, now());
    const names = (await readdir(takes)).sort();
    let known = 0;
    for (const name of names) known += Number(await store.load(name, indexed));
    store.isIndexed = known === indexed.size && known === store.listed.size;
    return store;
  }

  /** Lets the next start find the takes in an index; where the disk takes none, that one reads them all. */
  keepIndex(): Promise<void> {
    const { index } = this.places;
    if (index === null) return Promise.resolve();
    return this.work.run(INDEX_NAME, async () => {
      if (this.isIndexed) return;
      this.isIndexed = true;
      const takes = await this.listed.indexed();
      const isWritten = await writeIndex(index.path, index.code, this.now(), takes).then(
        () => true,
        () => false,
      );
      this.isIndexed &&= isWritten && takes.length === this.listed.size;
    });
  }

  /** Oldest first. */
  list(): readonly TakeSummary[] {
    return this.listed.summaries();
  }

  /** @throws TakeNotFoundError | StoreCorruptError */
  get(id: string): TakeDocument {
    const document = this.listed.get(parseTakeId(id));
    if (!document) throw new TakeNotFoundError('There is no such take (any more).');
    return document;
  }

  /** Which of the files are sources of takes already, each with the oldest take that has it. */
  known(files: readonly SourceFile[]): KnownFile[] {
    return this.listed.known(files);
  }

  /** Where the take's files lie. */
  folderOf(id: string): string {
    return join(this.places.takes, parseTakeId(this.get(id).id));
  }

  /** A fresh folder in which to put a take together. */
  async stage(id: TakeId): Promise<string> {
    const folder = join(this.places.takes, `${STAGING}${id}`);
    await makeFolder(this.places.takes);
    // Two that put the same take together would spoil each other's: the second is refused here.
    await mkdir(folder);
    return folder;
  }

  /** Whether something lies where a take of this id would, be it one that cannot be read. */
  isPlaceTaken(id: string): Promise<boolean> {
    return isThere(join(this.places.takes, parseTakeId(id)));
  }

  /**
   * Lets a take appear that was put together in a staging folder.
   * @throws StoreCorruptError  where something lies in its place
   */
  async add(staged: string, document: TakeDocument): Promise<TakeDocument> {
    const id = parseTakeId(document.id);
    await writeTakeDocument(staged, document);
    await this.refuseTaken(id);
    await moveTo(staged, join(this.places.takes, id));
    this.put(id, document);
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
      this.put(parseTakeId(id), changed);
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
    this.put(parseTakeId(id), { ...found, revision });
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
      this.listed.delete(takeId);
      this.isIndexed = false;
      try {
        await makeFolder(this.places.trash);
        const to = join(this.places.trash, takeId);
        // What lies there, of the same id or none, gets a name of its own.
        if (await isThere(to)) await moveTo(to, join(this.places.trash, newTakeId(document.title)));
        await moveTo(from, to);
      } catch (error) {
        this.put(takeId, document);
        throw error;
      }
    });
  }

  /** Brings a take back from the trash. */
  restore(id: string): Promise<TakeDocument> {
    return this.work.run(id, async () => {
      const takeId = parseTakeId(id);
      if (this.listed.has(takeId)) return this.get(id);
      const from = join(this.places.trash, takeId);
      const { document, isNamedAnew } = await readRemoved(from, takeId).catch((error: unknown) => {
        throw error instanceof StoreCorruptError
          ? new TakeNotFoundError('The trash holds no such take.')
          : error;
      });
      await this.refuseTaken(takeId);
      if (isNamedAnew) await writeTakeDocument(from, document);
      await moveTo(from, join(this.places.takes, takeId));
      this.put(takeId, document);
      return document;
    });
  }

  /** What lies in the trash, oldest first; and what there cannot be read, one plain sentence each. */
  async removed(): Promise<RemovedTakes> {
    const takes: TakeSummary[] = [];
    const problems: string[] = [];
    for (const name of (await namesIn(this.places.trash)).sort()) {
      if (name.startsWith('.')) continue;
      try {
        const id = parseTakeId(name);
        takes.push(summaryOf((await readRemoved(join(this.places.trash, id), id)).document));
      } catch (error) {
        problems.push(whyNoTake(error, 'The removed take', `trash/${name}`));
      }
    }
    return { takes: takes.sort(byAge), problems };
  }

  private async refuseTaken(id: TakeId): Promise<void> {
    if (await this.isPlaceTaken(id))
      throw new StoreCorruptError(
        `${join(this.places.takes, id)} is there already, and is no take that this program can read. Move it away and try again.`,
      );
  }

  private put(id: TakeId, document: TakeDocument): void {
    this.isIndexed = false;
    this.listed.set(id, document);
  }

  /** Whether the index told of it. */
  private async load(name: string, indexed: ReadonlyMap<string, IndexedTake>): Promise<boolean> {
    if (name.startsWith(STAGING)) await rm(join(this.places.takes, name), { recursive: true, force: true });
    if (name.startsWith('.')) return false;
    try {
      return await this.listed.load(parseTakeId(name), indexed.get(name));
    } catch (error) {
      this.problems.push(whyNoTake(error, 'The take', `takes/${name}`));
      return false;
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
