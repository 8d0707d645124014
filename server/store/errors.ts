import { WorkbenchError } from '../errors.ts';

export class UploadNotFoundError extends WorkbenchError {
  readonly code = 'UPLOAD_NOT_FOUND';
}

export class UploadTooLargeError extends WorkbenchError {
  readonly code = 'UPLOAD_TOO_LARGE';
}

export class RecordingNotFoundError extends WorkbenchError {
  readonly code = 'RECORDING_NOT_FOUND';
}

/** What is asked of a recording cannot be done as it stands. */
export class RecordingStateError extends WorkbenchError {
  readonly code = 'RECORDING_STATE';
}

/** The sender went away in the middle. */
export class UploadBrokenError extends WorkbenchError {
  readonly code = 'UPLOAD_BROKEN';
}

/** Another server has the workspace open, or the folder is none. */
export class WorkspaceError extends WorkbenchError {
  readonly code = 'WORKSPACE';
}

/** A change that does not fit the take. */
export class TakeChangeError extends WorkbenchError {
  readonly code = 'TAKE_CHANGE';
}

/** What was stated of a log, or its mapping, does not fit the log. */
export class MappingError extends WorkbenchError {
  readonly code = 'MAPPING';
}

/** A file of a kept setting that cannot be used. `path` names the place in it; '' stands for the whole file. */
export class SettingFileError extends WorkbenchError {
  readonly code = 'SETTING';
  readonly path: string;
  constructor(path: string, problem: string) {
    super(path === '' ? problem : `${path}: ${problem}`);
    this.path = path;
  }
}

export class MappingNotFoundError extends WorkbenchError {
  readonly code = 'MAPPING_NOT_FOUND';
}

export class SettingNotFoundError extends WorkbenchError {
  readonly code = 'SETTING_NOT_FOUND';
}

export class DiskFullError extends WorkbenchError {
  readonly code = 'DISK_FULL';
}

/** The system's error as one that the user can mend, where it is one. */
export function fromSystemError(error: unknown): unknown {
  const code = systemCode(error);
  if (code === 'ENOSPC' || code === 'EDQUOT') {
    return new DiskFullError('The disk of the workspace is full. Free some space and try again.');
  }
  return error;
}

/** What was thrown, in its own words. */
export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** `ENOENT` and the like; null for what the system did not raise. */
export function systemCode(error: unknown): string | null {
  if (!(error instanceof Error) || error instanceof WorkbenchError || !('code' in error)) return null;
  return typeof error.code === 'string' ? error.code : null;
}
