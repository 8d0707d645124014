import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { StoreCorruptError, TakeNotFoundError } from '../errors.ts';
import { shapeOf } from '../ingest/ground/remembered.ts';
import type { Hooks, Overrides } from '../ingest/ground/types.ts';
import { addTake, type NewTake } from './addTake.ts';
import { documentText, removeTemps } from './atomicFile.ts';
import { CandidatesStore } from './candidatesStore.ts';
import { ColumnsCache, type ColumnsOnDisk } from './columnsCache.ts';
import type { TakeDocument, UploadPreview } from './documents.ts';
import { messageOf, systemCode, WorkspaceError } from './errors.ts';
import type { IngestRunner } from './ingestTasks.ts';
import { lockWorkspace } from './lock.ts';
import { MappingsStore } from './mappingsStore.ts';
import { OverviewCache, type TakeOverview } from './overviewCache.ts';
import { RECORDINGS_FOLDER } from './recordings/recordingFiles.ts';
import { Recordings } from './recordings/recordings.ts';
import { previewTake, type Rereading, type RereadTake, rereadTake } from './reread.ts';
import { SeenFile } from './seenFile.ts';
import { SerialWork } from './serialWork.ts';
import { SettingsStore } from './settingsStore.ts';
import { howToPutBack, type SourceOnDisk } from './sourceFiles.ts';
import { sourcesOf } from './takeFolder.ts';
import { codeOfSummaries, INDEX_NAME } from './takeIndex.ts';
import { type TakePlaces, TakeStore } from './takeStore.ts';
import { UploadStore } from './uploads.ts';
import {
  DOCUMENT,
  makeFolders,
  openDocument,
  prepareFolder,
  type WorkspaceDocument,
} from './workspaceFolder.ts';

export interface WorkspaceOptions {
  readonly ingest: IngestRunner;
  readonly uploadLimitBytes?: number;
  /** Milliseconds since 1970; for tests. */
  readonly now?: () => number;
  /** Names the code that lists takes, as the build does it by default; null keeps no index of them. */
  readonly listingCode?: string | null;
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
  private readonly file: SeenFile;
  private readonly notes: readonly string[];
  private readonly ingest: IngestRunner;
  private readonly cache: ColumnsCache;
  private readonly overviews: OverviewCache;
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
    this.file = parts.file;
    this.notes = parts.notes;
    this.ingest = parts.ingest;
    this.cache = new ColumnsCache(parts.ingest);
    this.overviews = new OverviewCache(this.cache, parts.ingest);
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
      await prepareFolder(path);
      unlock = lockWorkspace(path);
      await makeFolders(path);
      await removeTemps(path);
      const file = new SeenFile(join(path, DOCUMENT));
      const { document, notes } = await openDocument(file, path);
      const now = options.now ?? Date.now;
      const work = new SerialWork();
      const uploads = new UploadStore(join(path, 'uploads'), work, options.uploadLimitBytes);
      await uploads.discardOld(now());
      const places = {
        takes: join(path, 'takes'),
        trash: join(path, 'trash'),
        index: indexOf(path, options),
      };
      const takes = await TakeStore.open(places, work, now);
      const candidates = await CandidatesStore.open(join(path, 'candidates.json'), work);
      const settings = await SettingsStore.open(join(path, 'settings'), work, now);
      const mappings = await MappingsStore.open(join(path, 'mappings.json'), work);
      const { ingest } = options;
      const stores = { takes, uploads, candidates, settings, mappings };
      void takes.keepIndex();
      return new Workspace({ path, ...stores, document, file, notes, ingest, work, now, unlock });
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
      await this.file.write(documentText(document));
      this.document = document;
    });
  }

  /** What of the folder could not be read, one plain sentence each. */
  get problems(): readonly string[] {
    return [
      ...this.notes,
      ...this.cache.notes,
      ...this.overviews.notes,
      ...this.takes.problems,
      ...this.candidates.problems,
      ...this.mappings.problems,
    ];
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
    const createdAt = new Date(this.now()).toISOString();
    const document = await this.uploads.useUp(uploadIds, (sources) =>
      addTake(this.takes, this.ingest, { ...rest, sources, createdAt }, hooks),
    );
    await this.prepareOverview(document);
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

  /** What a take looks like from afar, as candidate A smooths it. */
  overview(takeId: string): Promise<TakeOverview> {
    const { smoothing } = this.candidates.get().a;
    return this.overviews.overview(this.takes.folderOf(takeId), this.takes.get(takeId), smoothing);
  }

  /** Of a long take, so that it is there when the take is first opened; where that fails, it is made then. */
  private async prepareOverview({ id, report }: TakeDocument): Promise<void> {
    if (report.durationS * report.rateHz >= LONG_SAMPLES) await this.overview(id).catch(() => null);
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
    await this.takes.keepIndex();
    this.unlock();
  }
}

/** From here on the page would be looked at empty for a second and more. */
const LONG_SAMPLES = 300_000;

interface WorkspaceParts {
  readonly path: string;
  readonly takes: TakeStore;
  readonly uploads: UploadStore;
  readonly candidates: CandidatesStore;
  readonly settings: SettingsStore;
  readonly mappings: MappingsStore;
  readonly document: WorkspaceDocument;
  readonly file: SeenFile;
  readonly notes: readonly string[];
  readonly ingest: IngestRunner;
  readonly work: SerialWork;
  readonly now: () => number;
  readonly unlock: () => void;
}

function indexOf(path: string, { listingCode = codeOfSummaries() }: WorkspaceOptions): TakePlaces['index'] {
  return listingCode === null ? null : { path: join(path, INDEX_NAME), code: listingCode };
}

/** Not the `ERR_...` of Node itself, which are bugs. */
function isRefusedByDisk(error: unknown): boolean {
  return /^E(?!RR_)/.test(systemCode(error) ?? '');
}

function cannotUse(path: string, code: string | null): WorkspaceError {
  return new WorkspaceError(`The folder ${path} cannot be used (${code}). Choose another with --workspace.`);
}
