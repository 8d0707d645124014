import { accessSync, constants, realpathSync, type Stats, statSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { type FileParts, makeFolder as makeLastingFolder, replaceFile } from '../store/atomicFile.ts';
import { systemCode } from '../store/errors.ts';
import { fileTrouble } from './fileTrouble.ts';
import { UsageError } from './io.ts';

const PERMISSIONS = 0o7777;

/**
 * Refuses to write over what the command reads: no output may be one of its inputs, however either is spelt and
 * through whatever links. Two names are one file where device and inode are the same.
 * @param option  the option that names the output, as it is typed
 * @throws UsageError  naming both
 */
export function refuseInputs(option: string, output: string, inputs: readonly string[]): void {
  const own = identityOf(output);
  if (own === null) return;
  const input = inputs.find((path) => identityOf(path) === own);
  if (input === undefined) return;
  const same = input === output ? 'is' : `is the same file as ${input},`;
  throw new UsageError(
    `${option}: ${output} ${same} a file that the command reads, and would be overwritten: give another name`,
  );
}

/**
 * Writes a file that the user named, as a whole or not at all; a link stays a link to it. What is no plain file, such as a
 * pipe, is written into as it is.
 * @throws FileError  where it cannot be written
 */
export async function writeOutput(path: string, parts: FileParts): Promise<void> {
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

/** The file on disk that a name stands for; null where there is none. */
function identityOf(path: string): string | null {
  try {
    const { dev, ino } = statSync(path, { bigint: true });
    return `${dev} ${ino}`;
  } catch (error) {
    if (systemCode(error) !== null) return null;
    throw error;
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
