import { StoreCorruptError, WorkbenchError } from '../errors.ts';

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

/** The disk does not take or give what is asked of it, for want of rights or of health. */
export class DiskRefusedError extends WorkbenchError {
  readonly code = 'DISK_REFUSED';
}

/** Whether it is about the disk and not about what was to be kept on it: the same may go well later. */
export function isOfDisk(error: unknown): boolean {
  // By its code: one that comes from another thread has lost its class.
  return error instanceof WorkbenchError && ['DISK_FULL', 'DISK_REFUSED'].includes(error.code);
}

const NO_ROOM = ['ENOSPC', 'EDQUOT'];
/** What is wrong with the disk, by the system's code. */
const REFUSED: Readonly<Record<string, string>> = {
  EROFS: 'is read-only: a system makes a disk so that shows errors. Look at the disk, then try again',
  EIO: 'cannot be read or written: it may be failing. Copy the workspace to another disk, then try again',
  EACCES: 'may not be used by this user. Change the permissions of the folder, then try again',
  EPERM: 'may not be used by this user. Change the permissions of the folder, then try again',
  EMFILE: 'has too many files open at once. Wait a moment and try again',
  ENFILE: 'has too many files open at once. Wait a moment and try again',
  ENODEV: 'is gone. Plug it in again, then start the program anew',
  ENXIO: 'is gone. Plug it in again, then start the program anew',
  ESTALE: 'is gone. Connect it again, then start the program anew',
};
/** Something of the workspace is not where this program put it. */
const MOVED: Readonly<Record<string, string>> = {
  ENOENT: 'is missing: it was moved or deleted by hand. Put it back, or start the program anew',
  ENOTDIR: 'lies in what is no folder. Move that away and try again',
  EISDIR: 'is a folder. Move it away and try again',
  ENOTEMPTY: 'is there already, and this program did not put it there. Move it away and try again',
  EEXIST: 'is there already, and this program did not put it there. Move it away and try again',
  ELOOP: 'is a link that leads to itself. Remove it and try again',
  ENAMETOOLONG:
    'has a name that is too long for this disk. Move the workspace to a shorter path and try again',
};

/** The system's error about a file as one that the user can mend, where it is one. */
export function fromSystemError(error: unknown): unknown {
  const code = systemCode(error);
  if (code === null) return error;
  if (NO_ROOM.includes(code))
    return new DiskFullError(
      'The disk of the workspace is full, or can hold no more files. Free some space and try again.',
    );
  const refused = REFUSED[code];
  if (refused !== undefined) return new DiskRefusedError(`The disk of the workspace ${refused} (${code}).`);
  const moved = MOVED[code];
  const { path, dest } = error as NodeJS.ErrnoException & { dest?: string };
  if (moved === undefined || path === undefined) return error;
  const isAboutTarget = dest !== undefined && (code === 'ENOTEMPTY' || code === 'EEXIST');
  return new StoreCorruptError(`${isAboutTarget ? dest : path} ${moved}.`);
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
