import { basename } from 'node:path';
import type { Candidate } from '../engine/settings/candidate.ts';
import {
  CANDIDATE_VERSION,
  CandidateError,
  DEFAULT_CANDIDATE,
  FIRST_VERSION,
  validateCandidate,
} from '../engine/settings/candidateRules.ts';
import { StoreConflictError, StoreCorruptError } from '../errors.ts';
import { documentText } from './atomicFile.ts';
import type { CandidatesDocument } from './documents.ts';
import { messageOf } from './errors.ts';
import { SeenFile } from './seenFile.ts';
import type { SerialWork } from './serialWork.ts';

const INITIAL: CandidatesDocument = {
  revision: 0,
  a: DEFAULT_CANDIDATE,
  b: { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, holdMs: 120 } },
};

/** On disk the version stands beside them; where it does not, a program wrote them that knew of none. */
type Kept = CandidatesDocument & { readonly version?: number };

/** The two candidates of a workspace, in one file. */
export class CandidatesStore {
  private readonly file: SeenFile;
  private readonly work: SerialWork;
  private document: CandidatesDocument = INITIAL;
  /** Why the file on disk cannot be used; it stays as it is until candidates are to be kept. */
  private unreadable: string | null = null;

  private constructor(path: string, work: SerialWork) {
    this.file = new SeenFile(path);
    this.work = work;
  }

  /**
   * A file that cannot be read keeps nobody from the takes: see `problems`.
   * @throws StoreCorruptError  if a newer version of the program wrote it: that one goes on from it.
   */
  static async open(path: string, work: SerialWork): Promise<CandidatesStore> {
    const store = new CandidatesStore(path, work);
    await store.load();
    return store;
  }

  get(): CandidatesDocument {
    return this.document;
  }

  /** What of the file could not be read, in a plain sentence. */
  get problems(): readonly string[] {
    if (this.unreadable === null) return [];
    return [
      `${basename(this.file.path)} cannot be read: ${this.unreadable}. Both candidates are the workbench's defaults. Mend it and start again; when you next change a candidate it is set aside, not overwritten.`,
    ];
  }

  /** @throws CandidateError | StoreConflictError */
  put(revision: number, a: Candidate, b: Candidate): Promise<CandidatesDocument> {
    return this.work.run(this.file.path, async () => {
      if (this.unreadable === null && (await this.file.isChanged())) await this.takeOver();
      if (revision !== this.document.revision) {
        throw new StoreConflictError(
          `The candidates have changed since they were read (revision ${this.document.revision}, not ${revision}). Read them again.`,
        );
      }
      const document = { revision: revision + 1, a: validateCandidate(a), b: validateCandidate(b) };
      if (this.unreadable !== null) await this.file.setAside();
      this.unreadable = null;
      await this.file.write(documentText({ version: CANDIDATE_VERSION, ...document }));
      this.document = document;
      return document;
    });
  }

  /** What another program has written meanwhile is a change like any other: whoever goes on from the old one is told. */
  private async takeOver(): Promise<void> {
    const { revision } = this.document;
    await this.load();
    if (this.unreadable !== null)
      throw new StoreCorruptError(
        `Another program has changed ${this.file.path}, and it cannot be read: ${this.unreadable}. Mend it, or save once more: then it is set aside.`,
      );
    this.document = { ...this.document, revision: Math.max(revision + 1, this.document.revision) };
  }

  private async load(): Promise<void> {
    try {
      const text = await this.file.read();
      this.document = text === null ? INITIAL : parse(text);
      this.unreadable = null;
    } catch (error) {
      if (error instanceof CandidateError && error.path === 'version')
        throw new StoreCorruptError(
          `${this.file.path} cannot be read: ${error.message}. Open the folder with that one, or move the file away to start anew.`,
        );
      this.unreadable = messageOf(error);
    }
  }
}

/** @throws CandidateError | TypeError | SyntaxError  where it holds no two valid candidates */
function parse(text: string): CandidatesDocument {
  const document: Kept | null = JSON.parse(text);
  if (typeof document !== 'object' || document === null) throw new TypeError('it holds no candidates');
  const { revision, version = FIRST_VERSION, a, b } = document;
  if (!Number.isInteger(revision)) throw new TypeError('it has no revision');
  return { revision, a: validateCandidate(a, version), b: validateCandidate(b, version) };
}
