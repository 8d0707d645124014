import { readFile } from 'node:fs/promises';
import type { Candidate } from '../engine/settings/candidate.ts';
import {
  CANDIDATE_VERSION,
  CandidateError,
  DEFAULT_CANDIDATE,
  FIRST_VERSION,
  validateCandidate,
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

/** On disk the version stands beside them; where it does not, a program wrote them that knew of none. */
type Kept = CandidatesDocument & { readonly version?: number };

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
      await writeAtomic(this.path, documentText({ version: CANDIDATE_VERSION, ...document }));
      this.document = document;
      return document;
    });
  }
}

async function read(path: string): Promise<CandidatesDocument> {
  try {
    const document: Kept = JSON.parse(await readFile(path, 'utf8'));
    const { revision, version = FIRST_VERSION, a, b } = document;
    if (!Number.isInteger(revision)) throw new TypeError('it has no revision');
    return { revision, a: validateCandidate(a, version), b: validateCandidate(b, version) };
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return INITIAL;
    if (systemCode(error) !== null) throw error;
    const isNewer = error instanceof CandidateError && error.path === 'version';
    const advice = isNewer
      ? 'Open the folder with that one, or move the file away to start anew.'
      : 'Mend it, or move it away to start anew.';
    throw new StoreCorruptError(`${path} cannot be read: ${messageOf(error)}. ${advice}`);
  }
}
