/** Where a program of the command line writes. */
export interface Io {
  readonly stdout: { write(text: string): unknown };
  readonly stderr: { write(text: string): unknown };
}

/** Place of a fault in a file; null where it is not known. */
export interface Place {
  readonly file: string | null;
  /** Path of a field in a JSON document. */
  readonly path: string | null;
}

const NOWHERE: Place = { file: null, path: null };

/** The command was called in a way that makes no sense: exit code 2. */
export class UsageError extends Error {
  readonly code: 'USAGE' | 'FILE' = 'USAGE';
  readonly file: string | null = null;
}

/** A file that the command names cannot be opened, read or written: exit code 2. */
export class FileError extends UsageError {
  override readonly code = 'FILE';
  override readonly file: string;
  constructor(file: string, message: string) {
    super(message);
    this.file = file;
  }
}

/** A file holds something that cannot be used: exit code 1. */
export class DataError extends Error {
  readonly code: 'CANDIDATE' | 'LABELS' | 'NEEDS' | 'SETTING' | 'TEMPLATE';
  readonly file: string | null;
  readonly path: string | null;
  constructor(code: DataError['code'], message: string, { file, path }: Place = NOWHERE) {
    super(message);
    this.code = code;
    this.file = file;
    this.path = path;
  }
}

export const EXIT_FINE = 0;
export const EXIT_DATA = 1;
export const EXIT_MISUSE = 2;
