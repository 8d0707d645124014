/** What the user can mend: a stable `code`, and a message that says what, where and what to do. */
export abstract class WorkbenchError extends Error {
  abstract readonly code: string;
}

/** A log, or a cell of it, that cannot be read. Line and column count from 1. */
export class LogFormatError extends WorkbenchError {
  readonly code = 'LOG_FORMAT';
  readonly file: string | null;
  readonly line: number | null;
  readonly column: number | null;
  constructor(message: string, at: { file?: string; line?: number; column?: number } = {}) {
    const place = [at.file, at.line && `line ${at.line}`, at.column && `column ${at.column}`]
      .filter(Boolean)
      .join(', ');
    super(place ? `${place}: ${message}` : message);
    this.file = at.file ?? null;
    this.line = at.line ?? null;
    this.column = at.column ?? null;
  }
}

export class TakeNotFoundError extends WorkbenchError {
  readonly code = 'TAKE_NOT_FOUND';
}

/** The document changed since it was read. */
export class StoreConflictError extends WorkbenchError {
  readonly code = 'STORE_CONFLICT';
}

/** The workspace folder holds something that this program cannot read. */
export class StoreCorruptError extends WorkbenchError {
  readonly code = 'STORE_CORRUPT';
}

/** Work that its owner stopped. */
export class CancelledError extends WorkbenchError {
  readonly code = 'CANCELLED';
  constructor() {
    super('The work was stopped.');
  }
}
