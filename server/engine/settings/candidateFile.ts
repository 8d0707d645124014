import { BELONGS, FORMATS, ownFile } from '../base/ownFile.ts';
import type { Candidate } from './candidate.ts';
import { CandidateError, validateCandidate, validateKeptCandidate } from './candidateRules.ts';

const FORMAT = FORMATS.candidate;
/** Version 1 knew less of a stab: how long the blade was quiet before, how fast until the hit, and from which part of its level a hit counts. */
const VERSION = 2;

/** A candidate as a file that `parseCandidateFile` reads: format and version, then every setting. */
export function formatCandidateFile(candidate: Candidate): string {
  return `${JSON.stringify({ format: FORMAT, version: VERSION, ...candidate }, null, 2)}\n`;
}

/**
 * The candidate of a file. Its settings alone, without format and version, are read too; they, and a file of version 1, may
 * lack the settings that came later, and then do what they did without them.
 * @throws CandidateError  for what is no JSON, no candidate, or one of a later version; it names the place in the file.
 */
export function parseCandidateFile(text: string): Candidate {
  if (ownFile(text) === 'labels') throw new CandidateError('', BELONGS.labels);
  const value = parse(text);
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return validateCandidate(value);
  const { format, version, ...settings } = value as Readonly<Record<string, unknown>>;
  if (format === undefined && version === undefined) return validateKeptCandidate(settings);
  if (format !== FORMAT) throw new CandidateError('format', `must be "${FORMAT}", got ${shown(format)}`);
  if (version === 1) return validateKeptCandidate(settings);
  if (version !== VERSION)
    throw new CandidateError(
      'version',
      `must be 1 or ${VERSION}, those that are read here, got ${shown(version)}`,
    );
  return validateCandidate(settings);
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
