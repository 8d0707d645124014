import { createReadStream, type Stats, statSync } from 'node:fs';
import { fileTrouble } from '../fileTrouble.ts';
import { FileError } from '../io.ts';
import { growingFile } from './fileSource.ts';
import { serialDevice } from './serialSource.ts';
import type { Source } from './source.ts';
import { streamSource } from './streamSource.ts';

/**
 * What the argument names: `-` standard input, else a serial device, a pipe, or a file that grows.
 * @throws FileError  where it is none of them, or cannot be opened
 */
export function chooseSource(argument: string, baud: number): Source {
  if (argument === '-') return streamSource('standard input', () => process.stdin);
  if (process.platform === 'win32' && /^(\\\\\.\\)?com[0-9]+$/i.test(argument))
    return serialDevice(argument, baud);
  const found = look(argument);
  if (found.isCharacterDevice()) return serialDevice(argument, baud);
  if (found.isFIFO()) return streamSource(argument, () => createReadStream(argument));
  if (found.isFile()) return growingFile(argument);
  throw new FileError(argument, `${argument} is no serial device, no pipe and no file`);
}

function look(path: string): Stats {
  try {
    return statSync(path);
  } catch (error) {
    throw fileTrouble(path, error, 'read');
  }
}
