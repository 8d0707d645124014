import { expect, test } from 'vitest';
import { fileTrouble } from '../../server/cli/fileTrouble.ts';
import { FileError } from '../../server/cli/io.ts';

const system = (code: string) => Object.assign(new Error(`${code}: of the system`), { code });

test.each([
  ['ENOENT', 'read', 'there is no file a/b.csv: check its name and its folder'],
  ['ENOENT', 'written', 'a/b.csv cannot be written: its folder is not there; check the path'],
  ['ENOTDIR', 'read', 'a/b.csv cannot be read: its folder is not there; check the path'],
  ['EISDIR', 'read', 'a/b.csv cannot be read: it is a folder; name a file in it'],
  ['EACCES', 'read', 'a/b.csv cannot be read: you have no right to; change its permissions'],
  ['ENOSPC', 'written', 'a/b.csv cannot be written: the disk is full; make room'],
  ['EBADF', 'read', 'a/b.csv cannot be read (EBADF)'],
] as const)('%s while it is %s', (code, doing, words) => {
  const trouble = fileTrouble('a/b.csv', system(code), doing);
  expect(trouble).toBeInstanceOf(FileError);
  expect(trouble.message).toBe(words);
  expect(trouble.file).toBe('a/b.csv');
});

test('an error that is none of the file system’s stays what it is', () => {
  const bug = new TypeError('x is not a function');
  expect(() => fileTrouble('a.csv', bug, 'read')).toThrow(bug);
});
