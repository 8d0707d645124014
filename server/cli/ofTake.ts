import { WorkbenchError } from '../errors.ts';
import { DataError, FileError } from './io.ts';

/** Whether a failure is that of one take among several, which the others need not suffer for. */
export function isOfTake(error: unknown): error is Error {
  return error instanceof WorkbenchError || error instanceof DataError || error instanceof FileError;
}
