import { readFile } from 'node:fs/promises';
import type { Candidate } from '../engine/settings/candidate.ts';
import {
  DEFAULT_CANDIDATE,
  validateCandidate,
  validateKeptCandidate,
} from '../engine/settings/candidateRules.ts';
import { StoreConflictError, StoreCorruptError } from '../errors.ts';
import { documentText, writeAtomic } from './atomicFile.ts';
import type { CandidatesDocument } from './documents.ts';
import { messageOf, systemCode } from './errors.ts';
import type { SerialWork } from './serialWork.ts';

const INITIAL: CandidatesDocument = {
  revision: 0,
  a: DEFAULT_CANDIDATE,
  b: { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, holdMs: 120 } },
};

/** The two candidates of a workspace, in one file. */
export class CandidatesStore {
  private readonly path: string;
  private readonly work: SerialWork;
  private document: CandidatesDocument;

  private constructor(path: string, work: SerialWork, document: CandidatesDocument) {
    this.path = path;
    this.work = work;
    this.document = document;
  }

  /** @throws StoreCorruptError  if the file is there and holds no two valid candidates. */
  static async open(path: string, work: SerialWork): Promise<CandidatesStore> {
    return new CandidatesStore(path, work, await read(path));
  }

  get(): CandidatesDocument {
    return this.document;
  }

  /** @throws CandidateError | StoreConflictError */
  put(revision: number, a: Candidate, b: Candidate): Promise<CandidatesDocument> {
    return this.work.run(this.path, async () => {
      if (revision !== this.document.revision) {
        throw new StoreConflictError(
          `The candidates have changed since they were read (revision ${this.document.revision}, not ${revision}). Read them again.`,
        );
      }
      const document = { revision: revision + 1, a: validateCandidate(a), b: validateCandidate(b) };
      await writeAtomic(this.path, documentText(document));
      this.document = document;
      return document;
    });
  }
}

async function read(path: string): Promise<CandidatesDocument> {
  try {
    const document: CandidatesDocument = JSON.parse(await readFile(path, 'utf8'));
    if (!Number.isInteger(document.revision)) throw new TypeError('it has no revision');
    return {
      revision: document.revision,
      a: validateKeptCandidate(document.a),
      b: validateKeptCandidate(document.b),
    };
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return INITIAL;
    if (systemCode(error) !== null) throw error;
    throw new StoreCorruptError(
      `${path} cannot be read: ${messageOf(error)}. Mend it, or move it away to start anew.`,
    );
  }
}
