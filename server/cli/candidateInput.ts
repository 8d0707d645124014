import { documentKindOf } from '../engine/base/fileKind.ts';
import type { KeptSetting } from '../engine/kept/keptSetting.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import { parseCandidateFile } from '../engine/settings/candidateFile.ts';
import { CandidateError } from '../engine/settings/candidateRules.ts';
import { SettingFileError } from '../store/errors.ts';
import { readSettingFile } from '../store/settingFile.ts';
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

/** A setting as a file has it: a kept one with all that it was kept with, or a candidate alone. */
export type SettingInput =
  | { readonly kept: KeptSetting; readonly candidate: Candidate }
  | { readonly kept: null; readonly candidate: Candidate };

/** @throws DataError  naming file and field; FileError where it cannot be read */
export function readSetting(path: string): SettingInput {
  const text = readText(path);
  if (!isKept(text)) return { kept: null, candidate: readCandidate(path) };
  try {
    const kept = readSettingFile(text);
    return { kept, candidate: kept.candidate };
  } catch (error) {
    if (!(error instanceof SettingFileError)) throw error;
    throw new DataError('SETTING', `${path}: ${error.message}`, { file: path, path: error.path });
  }
}

function isKept(text: string): boolean {
  try {
    return documentKindOf(JSON.parse(text)) === 'setting';
  } catch {
    return false;
  }
}
