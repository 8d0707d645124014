import { accessSync, constants, realpathSync, type Stats, statSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { type FileParts, makeFolder as makeLastingFolder, replaceFile } from '../store/atomicFile.ts';
import { systemCode } from '../store/errors.ts';
import { fileTrouble } from './fileTrouble.ts';
import { type OutputPlace, refuseOutput } from './refuseOutput.ts';

const PERMISSIONS = 0o7777;

/**
 * The one writer of all that a command is told to write: as a whole or not at all, never over what cannot be made again; a link
 * stays a link to it. What is no plain file, such as a pipe, is written into as it is. A command that works for long asks
 * `refuseOutput` before it begins, too.
 * @throws UsageError  where something there would be lost
 * @throws FileError  where it cannot be written
 */
export async function writeOutput(place: OutputPlace, parts: FileParts): Promise<void> {
  const { path } = place;
  await refuseOutput(place);
  try {
    const known = statOf(path);
    if (known === null) return await replaceFile(path, parts);
    if (!known.isFile()) return await writeFile(path, parts);
    accessSync(path, constants.W_OK);
    await replaceFile(realpathSync(path), parts, known.mode & PERMISSIONS);
  } catch (error) {
    throw fileTrouble(path, error, 'written');
  }
}

/** Makes a folder to write to, where it is not there. @throws FileError  where it cannot be made */
export async function makeFolder(path: string): Promise<void> {
  try {
    await makeLastingFolder(path);
  } catch (error) {
    throw fileTrouble(path, error, 'written');
  }
}

function statOf(path: string): Stats | null {
  try {
    return statSync(path);
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  }
}
