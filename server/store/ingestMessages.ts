import { WorkbenchError } from '../errors.ts';
import { fromSystemError } from './errors.ts';
import type { IngestTask } from './ingestTasks.ts';

/** What passes between the server and the thread that reads logs. */
export interface TaskMessage {
  readonly id: number;
  readonly task: IngestTask;
}

export type WorkerMessage =
  | { readonly id: number; readonly kind: 'progress'; readonly fraction: number }
  | { readonly id: number; readonly kind: 'done'; readonly value: unknown }
  | { readonly id: number; readonly kind: 'failed'; readonly failure: Failure };

/** An error without its class, which does not pass between threads. `code` is null for a bug. */
interface Failure {
  readonly code: string | null;
  readonly message: string;
  readonly file: string | null;
  readonly line: number | null;
  readonly column: number | null;
}

/** An error of the user's data, as the other thread raised it. */
class ReadingError extends WorkbenchError {
  readonly code: string;
  readonly file: string | null;
  readonly line: number | null;
  readonly column: number | null;
  constructor(code: string, failure: Failure) {
    super(failure.message);
    this.code = code;
    this.file = failure.file;
    this.line = failure.line;
    this.column = failure.column;
  }
}

export function failureOf(thrown: unknown): Failure {
  const error = fromSystemError(thrown);
  if (!(error instanceof WorkbenchError)) {
    const message = error instanceof Error ? (error.stack ?? error.message) : String(error);
    return { code: null, message, file: null, line: null, column: null };
  }
  const at: Partial<Failure> = error as object;
  return {
    code: error.code,
    message: error.message,
    file: at.file ?? null,
    line: at.line ?? null,
    column: at.column ?? null,
  };
}

export function errorOf(failure: Failure): Error {
  return failure.code === null ? new Error(failure.message) : new ReadingError(failure.code, failure);
}
