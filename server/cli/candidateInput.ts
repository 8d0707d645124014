import type { Candidate } from '../engine/settings/candidate.ts';
import { parseCandidateFile } from '../engine/settings/candidateFile.ts';
import { CandidateError } from '../engine/settings/candidateRules.ts';
import { DataError } from './io.ts';
import { readText } from './openFile.ts';

/** The candidate of a file. @throws DataError  naming file and field; FileError where it cannot be read */
export function readCandidate(path: string): Candidate {
  try {
    return parseCandidateFile(readText(path));
  } catch (error) {
    if (!(error instanceof CandidateError)) throw error;
    throw new DataError('CANDIDATE', `${path}: ${error.message}`, { file: path, path: error.path });
  }
}
