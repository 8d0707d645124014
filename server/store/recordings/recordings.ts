import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Hooks } from '../../ingest/ground/types.ts';
import { RecordingNotFoundError, RecordingStateError } from '../errors.ts';
import { parseRecordingId } from '../ids.ts';
import { Follower } from './follow.ts';
import { type KeepDeps, type Kept, keepRecording, sourceOf, takeWith } from './keepRecording.ts';
import { PageRecordings } from './pageRecordings.ts';
import {
  listRecordings,
  type RecordingDocument,
  type RecordingState,
  readRecording,
  STOP_NAME,
  stateOf,
} from './recordingFiles.ts';

export interface ListedRecording {
  readonly document: RecordingDocument;
  readonly state: RecordingState;
}

/** A recording that became a take since this process opened the workspace. */
export interface KeptTake {
  readonly recordingId: string;
  readonly takeId: string;
  readonly title: string;
}

/**
 * The recordings of an open workspace. Whoever records writes its own folder and needs no lock; what has ended, or was
 * cut off, is made a take here, by the process that has the workspace open.
 */
export class Recordings {
  /** The workspace's folder of recordings. */
  readonly root: string;
  /** Those that this process writes, for a page. */
  readonly ofPages: PageRecordings;
  private readonly deps: KeepDeps;
  private readonly kept: KeptTake[] = [];
  /** Those that could not be read just now; not tried again before the next start. */
  private readonly refused = new Set<string>();
  /** How many takes there were when one that asks was last looked for among them. */
  private readonly lookedAmong = new Map<string, number>();
  private tending: Promise<void> | null = null;
  private readonly stop = new AbortController();

  constructor(root: string, deps: KeepDeps & { readonly now: () => number }) {
    this.root = root;
    this.deps = deps;
    this.ofPages = new PageRecordings(root, deps.now);
  }

  async list(): Promise<ListedRecording[]> {
    const documents = await listRecordings(this.root);
    return documents.map((document) => ({ document, state: stateOf(document) }));
  }

  /** The latest first. */
  get keptTakes(): readonly KeptTake[] {
    return this.kept;
  }

  /** @throws RecordingNotFoundError */
  async get(id: string): Promise<ListedRecording & { readonly folder: string }> {
    const folder = this.folderOf(id);
    const document = await readRecording(folder);
    if (document === null) throw new RecordingNotFoundError('There is no such recording (any more).');
    return { document, state: stateOf(document), folder };
  }

  /** To look on while one is written. @throws RecordingNotFoundError */
  async follow(id: string): Promise<Follower> {
    const { folder } = await this.get(id);
    return new Follower(folder, this.deps);
  }

  /** Asks whoever records to end. @throws RecordingNotFoundError */
  async requestStop(id: string): Promise<void> {
    const { folder, state } = await this.get(id);
    if (this.ofPages.has(id)) await this.ofPages.end(id);
    else if (state === 'running') await writeFile(join(folder, STOP_NAME), '');
  }

  /** @throws RecordingNotFoundError | RecordingStateError  while it is being recorded */
  async remove(id: string): Promise<void> {
    const { folder, state } = await this.get(id);
    if (state === 'running') throw new RecordingStateError('It is being recorded. Stop it first.');
    await rm(folder, { recursive: true, force: true });
  }

  /** Makes takes of what has ended or was cut off; a second call while one runs waits for it. */
  tend(hooks: Hooks = { signal: this.stop.signal }): Promise<void> {
    this.tending ??= this.tendAll(hooks).finally(() => {
      this.tending = null;
    });
    return this.tending;
  }

  /** Ends what this process writes, and resolves once no recording is being made a take. */
  async close(): Promise<void> {
    await this.ofPages.endAll();
    this.stop.abort();
    await this.tending?.catch(() => {});
  }

  /** @throws RecordingNotFoundError  and what reading a log throws that nobody can be asked about */
  async keep(id: string, hooks: Hooks = {}): Promise<Kept> {
    const { document, folder, state } = await this.get(id);
    if (state === 'running') throw new RecordingStateError('It is being recorded. Stop it first.');
    const kept = await keepRecording(this.deps, folder, document, hooks);
    if (kept.kind === 'take') this.noteKept(id, kept);
    return kept;
  }

  private async tendAll(hooks: Hooks): Promise<void> {
    await this.ofPages.endSilent();
    for (const { document, state } of await this.list()) {
      if (state === 'running' || this.refused.has(document.id)) continue;
      // What was asked about is tried again only by the user; whether the user has added it is looked up.
      if (document.questions.length > 0) await this.forgetIfTaken(document);
      else await this.tryToKeep(document.id, hooks);
    }
  }

  private async tryToKeep(id: string, hooks: Hooks): Promise<void> {
    try {
      await this.keep(id, hooks);
    } catch (error) {
      this.refused.add(id);
      throw error;
    }
  }

  private async forgetIfTaken(document: RecordingDocument): Promise<void> {
    const { length } = this.deps.takes.list();
    if (this.lookedAmong.get(document.id) === length) return;
    this.lookedAmong.set(document.id, length);
    const folder = this.folderOf(document.id);
    const taken = takeWith(this.deps.takes, await sourceOf(folder, document));
    if (taken === null) return;
    await rm(folder, { recursive: true, force: true });
    this.noteKept(document.id, taken);
  }

  private noteKept(recordingId: string, { takeId, title }: { takeId: string; title: string }): void {
    this.kept.unshift({ recordingId, takeId, title });
    this.kept.length = Math.min(this.kept.length, 20);
  }

  private folderOf(id: string): string {
    return join(this.root, parseRecordingId(id));
  }
}
