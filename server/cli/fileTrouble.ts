import { systemCode } from '../store/errors.ts';
import { FileError } from './io.ts';

/**
 * A file system's error in words that say what to do.
 * @throws the error itself where it is no error of the file system
 */
export function fileTrouble(path: string, error: unknown, doing: 'read' | 'written'): FileError {
  const code = systemCode(error);
  if (code === null) throw error;
  return new FileError(path, wordsOf(path, code, doing));
}

function wordsOf(path: string, code: string, doing: 'read' | 'written'): string {
  if (code === 'ENOENT' && doing === 'read') return `there is no file ${path}: check its name and its folder`;
  const because = REASONS[code === 'ENOENT' ? 'ENOTDIR' : code];
  return `${path} cannot be ${doing}${because === undefined ? ` (${code})` : `: ${because}`}`;
}

const REASONS: Readonly<Record<string, string>> = {
  EISDIR: 'it is a folder; name a file in it',
  ENOTDIR: 'its folder is not there; check the path',
  EACCES: 'you have no right to; change its permissions',
  EPERM: 'you have no right to; change its permissions',
  ENOSPC: 'the disk is full; make room',
  EDQUOT: 'the disk is full; make room',
  ENAMETOOLONG: 'its name is too long for this disk; give a shorter one',
  EIO: 'the disk does not answer; it may be failing',
  ELOOP: 'it is a link that leads to itself; remove it',
  EMFILE: 'too many files are open; close some programs',
  EROFS: 'the disk is read-only; choose another folder',
  ENOTFILE: 'it is no plain file; save what it gives as one first',
};
