import { mkdir, readdir, readFile, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { StoreCorruptError, TakeNotFoundError } from '../errors.ts';
import { shapeOf } from '../ingest/ground/remembered.ts';
import type { Hooks, Overrides } from '../ingest/ground/types.ts';
import { addTake, type NewTake } from './addTake.ts';
import { documentText, removeTemps, writeAtomic } from './atomicFile.ts';
import { CandidatesStore } from './candidatesStore.ts';
import { ColumnsCache, type ColumnsOnDisk } from './columnsCache.ts';
import type { TakeDocument, UploadPreview } from './documents.ts';
import { messageOf, systemCode, WorkspaceError } from './errors.ts';
import type { IngestRunner } from './ingestTasks.ts';
import { LOCK_NAME, lockWorkspace } from './lock.ts';
import { MappingsStore } from './mappingsStore.ts';
import { RECORDINGS_FOLDER } from './recordings/recordingFiles.ts';
import { Recordings } from './recordings/recordings.ts';
import { previewTake, type Rereading, type RereadTake, rereadTake } from './reread.ts';
import { SerialWork } from './serialWork.ts';
import { SettingsStore } from './settingsStore.ts';
import { howToPutBack, type SourceOnDisk } from './sourceFiles.ts';
import { sourcesOf } from './takeFolder.ts';
import { TakeStore } from './takeStore.ts';
import { UploadStore } from './uploads.ts';

/** `workspace.json`. */
interface WorkspaceDocument {
  readonly format: 1;
  readonly name: string;
  /** Names of the demonstration takes that were added once. */
  readonly demoAdded: readonly string[];
}

export interface WorkspaceOptions {
  readonly ingest: IngestRunner;
  readonly uploadLimitBytes?: number;
  /** Milliseconds since 1970; for tests. */
  readonly now?: () => number;
}

type NewUploadedTake = Omit<NewTake, 'sources' | 'createdAt'> & {
  readonly uploadIds: readonly string[];
  /** What differs from the guess, for the next log of this shape; without it what is remembered stays as it is. */
  readonly corrections?: Overrides;
};

interface AddedTake {
  readonly document: TakeDocument;
  /** Why the corrections could not be kept for the next log; null where they were. */
  readonly notRemembered: string | null;
}

const DOCUMENT = 'workspace.json';
const FOLDERS = ['takes', 'uploads', 'trash', 'settings', RECORDINGS_FOLDER] as const;

/** A folder with everything that the user has brought in and decided. One process at a time has it open. */
export class Workspace {
  readonly path: string;
  readonly takes: TakeStore;
  readonly uploads: UploadStore;
  readonly candidates: CandidatesStore;
  readonly settings: SettingsStore;
  readonly mappings: MappingsStore;
  readonly recordings: Recordings;
  private document: WorkspaceDocument;
  private readonly ingest: IngestRunner;
  private readonly cache: ColumnsCache;
  private readonly work: SerialWork;
  private readonly now: () => number;
  private readonly unlock: () => void;

  private constructor(parts: WorkspaceParts) {
    this.path = parts.path;
    this.takes = parts.takes;
    this.uploads = parts.uploads;
    this.candidates = parts.candidates;
    this.settings = parts.settings;
    this.mappings = parts.mappings;
    this.recordings = new Recordings(join(parts.path, RECORDINGS_FOLDER), parts);
    this.document = parts.document;
    this.ingest = parts.ingest;
    this.cache = new ColumnsCache(parts.ingest);
    this.work = parts.work;
    this.now = parts.now;
    this.unlock = parts.unlock;
  }

  /**
   * Opens the workspace in a folder, or makes one there, and clears what a crash left behind.
   * @throws WorkspaceError  if another process has it open, or the folder holds other things.
   * @throws StoreCorruptError  if this program cannot read it.
   */
  static async open(path: string, options: WorkspaceOptions): Promise<Workspace> {
    let unlock = (): void => {};
    try {
      const isNew = await prepareFolder(path);
      unlock = lockWorkspace(path);
      for (const folder of FOLDERS) await mkdir(join(path, folder), { recursive: true });
      await removeTemps(path);
      const now = options.now ?? Date.now;
      const work = new SerialWork();
      const uploads = new UploadStore(join(path, 'uploads'), work, options.uploadLimitBytes);
      await uploads.discardOld(now());
      const takes = await TakeStore.open(join(path, 'takes'), join(path, 'trash'), work);
      const candidates = await CandidatesStore.open(join(path, 'candidates.json'), work);
      const settings = await SettingsStore.open(join(path, 'settings'), work, now);
      const mappings = await MappingsStore.open(join(path, 'mappings.json'), work);
      const document = isNew ? await writeNew(path) : await readDocument(path);
      const { ingest } = options;
      const stores = { takes, uploads, candidates, settings, mappings };
      return new Workspace({ path, ...stores, document, ingest, work, now, unlock });
    } catch (error) {
      unlock();
      throw isRefusedByDisk(error) ? cannotUse(path, systemCode(error)) : error;
    }
  }

  get name(): string {
    return this.document.name;
  }

  get demoAdded(): readonly string[] {
    return this.document.demoAdded;
  }

  async noteDemoAdded(name: string): Promise<void> {
    await this.work.run(DOCUMENT, async () => {
      const document = { ...this.document, demoAdded: [...this.document.demoAdded, name] };
      await writeAtomic(join(this.path, DOCUMENT), documentText(document));
      this.document = document;
    });
  }

  /** What of the folder could not be read, one plain sentence each. */
  get problems(): readonly string[] {
    return [...this.takes.problems, ...this.mappings.problems];
  }

  /** @param applyRemembered  whether what was corrected for logs of this shape before is stated too */
  async preview(
    uploadIds: readonly string[],
    overrides: Overrides,
    hooks: Hooks,
    applyRemembered = false,
  ): Promise<UploadPreview> {
    const sources = await this.uploads.sources(uploadIds);
    const memory = { mappings: this.mappings.list(), apply: applyRemembered };
    const preview = await this.ingest.preview({ sources, overrides, memory }, hooks);
    return { ...preview, known: this.takes.known(sources) };
  }

  /** Adds uploaded files as a take; the uploads are used up by it. */
  async addTake(take: NewUploadedTake, hooks: Hooks): Promise<TakeDocument> {
    return (await this.addTakeAndRemember(take, hooks)).document;
  }

  /** As `addTake`; what was corrected is kept for the next log of the same shape. */
  async addTakeAndRemember(take: NewUploadedTake, hooks: Hooks): Promise<AddedTake> {
    const { uploadIds, corrections, ...rest } = take;
    const sources = await this.uploads.sources(uploadIds);
    const createdAt = new Date(this.now()).toISOString();
    const document = await addTake(this.takes, this.ingest, { ...rest, sources, createdAt }, hooks);
    for (const id of uploadIds) await this.uploads.discard(id);
    return {
      document,
      notRemembered: corrections ? await this.remember(take, corrections, createdAt) : null,
    };
  }

  /** The take is there by now, so that what goes wrong here is told and not thrown. */
  private async remember(
    { mapping }: Pick<NewUploadedTake, 'mapping'>,
    corrections: Overrides,
    savedAt: string,
  ): Promise<string | null> {
    const fileName = mapping.files.map(({ name }) => name).join(' and ');
    try {
      await this.mappings.remember(shapeOf(mapping), corrections, fileName, savedAt);
      return null;
    } catch (error) {
      return messageOf(error);
    }
  }

  /** A preview of a stored take; see `previewTake`. */
  async previewTake(id: string, overrides: Overrides | null, hooks: Hooks): Promise<UploadPreview> {
    return { ...(await previewTake(this.takes, this.ingest, id, overrides, hooks)), known: [] };
  }

  /** Reads a stored take again from its sources; what was corrected is kept for the next log of the same shape. */
  async rereadTake(
    id: string,
    { corrections, ...reading }: Rereading & { readonly corrections?: Overrides },
    hooks: Hooks,
  ): Promise<RereadTake & Pick<AddedTake, 'notRemembered'>> {
    const reread = await rereadTake(this.takes, this.ingest, id, reading, hooks);
    const isKept = reread.document !== null && corrections !== undefined;
    const savedAt = new Date(this.now()).toISOString();
    return { ...reread, notRemembered: isKept ? await this.remember(reading, corrections, savedAt) : null };
  }

  columns(takeId: string): Promise<ColumnsOnDisk> {
    return this.cache.columns(this.takes.folderOf(takeId), this.takes.get(takeId));
  }

  /**
   * A source of a take, by its place among them.
   * @throws TakeNotFoundError | StoreCorruptError
   */
  async source(takeId: string, index: number): Promise<SourceOnDisk> {
    const source = sourcesOf(this.takes.folderOf(takeId), this.takes.get(takeId))[index];
    if (!source) throw new TakeNotFoundError('This take has no such source.');
    const found = await stat(source.path).catch(() => null);
    if (found?.size === source.sizeBytes) return source;
    throw new StoreCorruptError(
      `The source ${source.name} is missing or has changed since it was added. ${howToPutBack(source)}`,
    );
  }

  /** Waits for every write begun, ends the reading of logs, and lets others have the workspace. */
  async close(): Promise<void> {
    await this.ingest.close();
    await this.recordings.close();
    await this.work.idle();
    this.unlock();
  }
}

interface WorkspaceParts {
  readonly path: string;
  readonly takes: TakeStore;
  readonly uploads: UploadStore;
  readonly candidates: CandidatesStore;
  readonly settings: SettingsStore;
  readonly mappings: MappingsStore;
  readonly document: WorkspaceDocument;
  readonly ingest: IngestRunner;
  readonly work: SerialWork;
  readonly now: () => number;
  readonly unlock: () => void;
}

/** Not the `ERR_...` of Node itself, which are bugs. */
function isRefusedByDisk(error: unknown): boolean {
  return /^E(?!RR_)/.test(systemCode(error) ?? '');
}

function cannotUse(path: string, code: string | null): WorkspaceError {
  return new WorkspaceError(`The folder ${path} cannot be used (${code}). Choose another with --workspace.`);
}

/**
 * Whether the folder is a new workspace.
 * @throws WorkspaceError  where it holds other things: it is refused rather than written into
 */
export async function prepareFolder(path: string): Promise<boolean> {
  await mkdir(path, { recursive: true });
  const names = await readdir(path);
  if (names.includes(DOCUMENT)) return false;
  const foreign = names.filter((name) => !isOwn(name));
  if (foreign.length === 0) return true;
  throw new WorkspaceError(
    `The folder ${path} is no workspace: it holds ${foreign.slice(0, 3).join(', ')}. Choose an empty or a new folder with --workspace.`,
  );
}

/** What a start that was cut short may have left, beside what file managers leave everywhere. */
function isOwn(name: string): boolean {
  const folders: readonly string[] = FOLDERS;
  return (
    folders.includes(name) ||
    [DOCUMENT, LOCK_NAME].some((own) => name.startsWith(own)) ||
    name === '.DS_Store'
  );
}

async function writeNew(path: string): Promise<WorkspaceDocument> {
  const document: WorkspaceDocument = { format: 1, name: basename(path).replace(/^\.+/, ''), demoAdded: [] };
  await writeAtomic(join(path, DOCUMENT), documentText(document));
  return document;
}

const ELSEWHERE = 'choose another folder with --workspace.';

async function readDocument(path: string): Promise<WorkspaceDocument> {
  const file = join(path, DOCUMENT);
  let document: Partial<WorkspaceDocument>;
  try {
    document = JSON.parse(await readFile(file, 'utf8'));
  } catch (error) {
    throw new StoreCorruptError(`${file} cannot be read: ${messageOf(error)}. Mend it, or ${ELSEWHERE}`);
  }
  const { format, name, demoAdded } = document;
  if (format !== 1 || typeof name !== 'string' || !Array.isArray(demoAdded)) {
    throw new StoreCorruptError(
      `${file} is not of this version of the program. Use the version that wrote it, or ${ELSEWHERE}`,
    );
  }
  return { format, name, demoAdded };
}
