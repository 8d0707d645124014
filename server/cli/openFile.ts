import { accessSync, constants, readFileSync } from 'node:fs';
import { fileSource, type NamedSource } from './fileSource.ts';
import { fileTrouble } from './fileTrouble.ts';

/** A log named on the command line. @throws FileError  where it cannot be opened */
export function openFile(path: string): NamedSource {
  try {
    const source = fileSource(path);
    accessSync(path, constants.R_OK);
    return source;
  } catch (error) {
    throw fileTrouble(path, error, 'read');
  }
}

/** A small text file named on the command line. @throws FileError  where it cannot be read */
export function readText(path: string): string {
  try {
    return readFileSync(path, 'utf8').replace(/^\uFEFF/, '');
  } catch (error) {
    throw fileTrouble(path, error, 'read');
  }
}
