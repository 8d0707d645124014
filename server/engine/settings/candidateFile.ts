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
  return `${JSON.stringify(candidateDocument(candidate), null, 2)}\n`;
}

/** The same as a value, as it also stands in the file of a kept setting. */
export function candidateDocument(candidate: Candidate): Readonly<Record<string, unknown>> {
  return { format: FORMAT, version: CANDIDATE_VERSION, ...candidate };
}

/** The version of the file of a kept setting; the candidate in it has one of its own. */
export const KEPT_VERSION = 1;

/**
 * The candidate of a file, or the one in the file of a kept setting. Settings alone, without format and version, are read
 * too, as of the first version.
 * @throws CandidateError  for what is no JSON, no candidate, or one of a later version; it names the place in the file.
 */
export function parseCandidateFile(text: string): Candidate {
  if (fileKindOf(text) === 'labels') throw new CandidateError('', BELONGS.labels);
  const value = parse(text);
  if (!isRecord(value) || value['format'] !== FORMATS.setting) return candidateOf(value);
  refuseNewer(value['version'], KEPT_VERSION);
  return inside('candidate', () => candidateOf(value['candidate']));
}

/** The candidate of a document that is parsed. @throws CandidateError  as above */
export function candidateOf(value: unknown): Candidate {
  if (!isRecord(value)) return validateCandidate(value);
  const { format, version, ...settings } = value;
  if (format === undefined && version === undefined) return validateCandidate(settings, FIRST_VERSION);
  if (format !== FORMAT) throw new CandidateError('format', `must be "${FORMAT}", got ${shown(format)}`);
  refuseNewer(version);
  return validateCandidate(settings, version);
}

/** Runs `read`, whose errors name places within `group`. */
export function inside<Value>(group: string, read: () => Value): Value {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof CandidateError)) throw error;
    throw new CandidateError([group, error.path].filter((part) => part !== '').join('.'), error.problem);
  }
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
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
