/** Where a program of the command line writes. */
export interface Io {
  readonly stdout: { write(text: string): unknown };
  readonly stderr: { write(text: string): unknown };
}

/** The command was called in a way that makes no sense: exit code 2. */
export class UsageError extends Error {}

/** A file holds something that cannot be used: exit code 1. */
export class DataError extends Error {}

export const EXIT_FINE = 0;
export const EXIT_DATA = 1;
export const EXIT_MISUSE = 2;
