import { BELONGS, FORMATS, fileKindOf } from '../base/fileKind.ts';
import type { Candidate } from './candidate.ts';
import {
  CANDIDATE_VERSION,
  CandidateError,
  FIRST_VERSION,
  refuseNewer,
  validateCandidate,
} from './candidateRules.ts';

const FORMAT = FORMATS.candidate;

/** A candidate as a file that `parseCandidateFile` reads: format and version, then every setting. */
export function formatCandidateFile(candidate: Candidate): string {
  return `${JSON.stringify({ format: FORMAT, version: CANDIDATE_VERSION, ...candidate }, null, 2)}\n`;
}

/**
 * The candidate of a file. Its settings alone, without format and version, are read too, as of the first version.
 * @throws CandidateError  for what is no JSON, no candidate, or one of a later version; it names the place in the file.
 */
export function parseCandidateFile(text: string): Candidate {
  if (fileKindOf(text) === 'labels') throw new CandidateError('', BELONGS.labels);
  const value = parse(text);
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return validateCandidate(value);
  const { format, version, ...settings } = value as Readonly<Record<string, unknown>>;
  if (format === undefined && version === undefined) return validateCandidate(settings, FIRST_VERSION);
  if (format !== FORMAT) throw new CandidateError('format', `must be "${FORMAT}", got ${shown(format)}`);
  refuseNewer(version);
  return validateCandidate(settings, version);
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new CandidateError('', `it holds no JSON: ${(error as Error).message}`);
  }
}

function shown(value: unknown): string {
  return JSON.stringify(value) ?? 'nothing';
}
