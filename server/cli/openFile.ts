import type { LogSource } from '../ingest/types.ts';
import { fileSource } from './fileSource.ts';
import { UsageError } from './io.ts';

/** A file named on the command line. @throws UsageError  where it cannot be opened */
export function openFile(path: string): LogSource {
  try {
    return fileSource(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    throw new UsageError(
      code === 'ENOENT' ? `there is no file ${path}` : `${path} cannot be opened (${code})`,
    );
  }
}
