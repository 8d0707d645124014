import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { sessionName } from '../engine/base/session.ts';
import { basisFingerprint } from '../engine/kept/evidenceTake.ts';
import { contentTexts } from '../engine/kept/takeContent.ts';
import { StoreCorruptError } from '../errors.ts';
import { documentText, removeTemps } from './atomicFile.ts';
import type { KnownFile, SourceFile, TakeDocument, TakeSummary } from './documents.ts';
import { messageOf } from './errors.ts';
import { type SeenStamp, seenStamp } from './fileStamp.ts';
import type { TakeId } from './ids.ts';
import { DOCUMENT_NAME, readDocumentNow, readTakeFolder } from './takeFolder.ts';
import type { IndexedTake } from './takeIndex.ts';

type Stamped = Pick<IndexedTake, 'stamp' | 'folderStamp'>;
type Seen = Stamped & SeenStamp;

interface Listed {
  /** Null until somebody wants more than the list tells. */
  document: TakeDocument | null;
  /** Null until the list is wanted: it takes a hash of all labels. */
  summary: TakeSummary | null;
  readonly sha256s: readonly string[];
  /** Null where the document on the disk may be another. */
  stamped: Stamped | null;
}

/** The takes that are there: what the list tells of each, and its document once it was asked for. */
export class ListedTakes {
  private readonly folder: string;
  private readonly now: () => number;
  private readonly takes = new Map<TakeId, Listed>();
  private sorted: readonly TakeSummary[] | null = null;

  /** @param folder  in which each take has a folder of its own. */
  constructor(folder: string, now: () => number) {
    this.folder = folder;
    this.now = now;
  }

  get size(): number {
    return this.takes.size;
  }

  has(id: TakeId): boolean {
    return this.takes.has(id);
  }

  /** @throws StoreCorruptError  where it was listed by the index and cannot be read by now */
  get(id: TakeId): TakeDocument | undefined {
    const listed = this.takes.get(id);
    if (!listed) return undefined;
    return listed.document ?? this.readNow(id, listed);
  }

  set(id: TakeId, document: TakeDocument): void {
    this.put(id, document, null);
  }

  delete(id: TakeId): void {
    this.takes.delete(id);
    this.sorted = null;
  }

  /** Oldest first. */
  summaries(): readonly TakeSummary[] {
    this.sorted ??= [...this.takes.values()].map(summaryIn).sort(byAge);
    return this.sorted;
  }

  /** Which of the files are sources of takes already, each with the oldest take that has it. */
  known(files: readonly SourceFile[]): KnownFile[] {
    const takes = this.summaries();
    const has = (id: string, sha256: string) => this.takes.get(id as TakeId)!.sha256s.includes(sha256);
    return files.flatMap(({ name, sha256 }) => {
      const take = takes.find(({ id }) => has(id, sha256));
      return take ? [{ name, takeId: take.id, title: take.title }] : [];
    });
  }

  /**
   * Takes a take in, by what the index tells of it where its document has not been touched since.
   * @returns whether the index told of it
   * @throws StoreCorruptError  where its document cannot be read
   */
  async load(id: TakeId, indexed: IndexedTake | undefined): Promise<boolean> {
    const folder = join(this.folder, id);
    const before = this.seen(id);
    if (indexed && before?.stamp === indexed.stamp) {
      const isUntouched = before.folderStamp === indexed.folderStamp;
      if (!isUntouched) await removeTemps(folder).catch(() => {});
      const { summary, sha256s, stamp } = indexed;
      const folderStamp = isUntouched ? before.folderStamp : (this.seen(id)?.folderStamp ?? '');
      this.takes.set(id, { document: null, summary, sha256s, stamped: { stamp, folderStamp } });
      return isUntouched;
    }
    const document = await readTakeFolder(folder, id);
    this.put(id, document, unwritten(before, this.seen(id)));
    return false;
  }

  /** What the index is to tell. Documents that were written meanwhile are compared with what lies on the disk. */
  async indexed(): Promise<IndexedTake[]> {
    const found: IndexedTake[] = [];
    for (const [id, listed] of [...this.takes]) {
      // The list is made of all labels of all takes: others have their turn in between.
      if (listed.summary === null) await new Promise((resolve) => setImmediate(resolve));
      listed.stamped ??= await this.stampedAs(id, listed.document!);
      if (listed.stamped)
        found.push({ summary: summaryIn(listed), sha256s: listed.sha256s, ...listed.stamped });
    }
    return found;
  }

  private async stampedAs(id: TakeId, document: TakeDocument): Promise<Stamped | null> {
    const before = this.seen(id);
    const text = await readFile(join(this.folder, id, DOCUMENT_NAME), 'utf8').catch(() => null);
    return text === documentText(document) ? unwritten(before, this.seen(id)) : null;
  }

  private seen(id: TakeId): Seen | null {
    const nowMs = this.now();
    const document = seenStamp(join(this.folder, id, DOCUMENT_NAME), nowMs);
    const folder = seenStamp(join(this.folder, id), nowMs);
    return document && { ...document, folderStamp: folder?.isSettled ? folder.stamp : '' };
  }

  /** The index told of an older one where another program has written since the workspace was opened. */
  private readNow(id: TakeId, listed: Listed): TakeDocument {
    let document: TakeDocument;
    try {
      document = readDocumentNow(join(this.folder, id), id);
    } catch (error) {
      throw new StoreCorruptError(`The take in takes/${id} cannot be read: ${messageOf(error)}.`);
    }
    if (this.seen(id)?.stamp === listed.stamped?.stamp) listed.document = document;
    else this.put(id, document, null);
    return document;
  }

  private put(id: TakeId, document: TakeDocument, stamped: Stamped | null): void {
    const sha256s = document.sources.map(({ sha256 }) => sha256);
    this.takes.set(id, { document, summary: null, sha256s, stamped });
    this.sorted = null;
  }
}

/** Null where the document was written meanwhile, or so lately that something else may carry the same stamp. */
function unwritten(before: Seen | null, after: Seen | null): Stamped | null {
  if (before === null || after === null || !after.isSettled || before.stamp !== after.stamp) return null;
  const { stamp, folderStamp } = after;
  return { stamp, folderStamp };
}

function summaryIn(listed: Listed): TakeSummary {
  listed.summary ??= summaryOf(listed.document!);
  return listed.summary;
}

export function summaryOf(document: TakeDocument): TakeSummary {
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
    fingerprint: basisFingerprint(document),
    content: contentOf(document),
  };
}

function contentOf(document: TakeDocument): TakeSummary['content'] {
  const { signals, labels } = contentTexts(document);
  return { signals: sha256(signals), labels: sha256(labels) };
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

type Aged = Pick<TakeDocument, 'createdAt' | 'id'>;

export function byAge(a: Aged, b: Aged): number {
  if (a.createdAt !== b.createdAt) return a.createdAt < b.createdAt ? -1 : 1;
  return a.id < b.id ? -1 : 1;
}
