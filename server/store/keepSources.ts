import { constants } from 'node:fs';
import { copyFile, link, mkdir, open, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { StoreCorruptError } from '../errors.ts';
import { syncFolder } from './atomicFile.ts';
import type { SourceFile } from './documents.ts';
import { systemCode } from './errors.ts';
import { type SourceOnDisk, sha256OfFile, sourceFileNames } from './sourceFiles.ts';

/**
 * Keeps the very bytes of a take's sources in a folder that is made for them: linked where the file system can, else
 * copied. No file of the folder is ever written over; the sources themselves stay.
 * @returns the sources as the take's document tells of them
 * @throws StoreCorruptError  where a copy is not what was handed in
 */
export async function keepSources(folder: string, sources: readonly SourceOnDisk[]): Promise<SourceFile[]> {
  await mkdir(folder);
  const names = sourceFileNames(sources.map(({ name }) => name));
  const kept: SourceFile[] = [];
  for (const [i, source] of sources.entries()) {
    const { name, sizeBytes, sha256 } = source;
    kept.push({ name, sizeBytes, sha256, storedAs: await keepAs(folder, names[i]!, source) });
  }
  await syncFolder(folder);
  return kept;
}

/** Some file systems take names for one that differ to JavaScript: then the next number is tried. */
async function keepAs(folder: string, name: string, source: SourceOnDisk): Promise<string> {
  for (let n = 1; ; ++n) {
    const free = n === 1 ? name : `${n}.${name}`;
    try {
      await keep(source, join(folder, free));
      return free;
    } catch (error) {
      if (systemCode(error) !== 'EEXIST') throw error;
    }
  }
}

async function keep(source: SourceOnDisk, path: string): Promise<void> {
  try {
    await link(source.path, path);
  } catch (error) {
    if (systemCode(error) === 'EEXIST') throw error;
    await copySource(source, path);
  }
}

/**
 * Copies a source to where no file is yet; the copy is on the disk, and the same to the byte, once this returns.
 * @throws Error  EEXIST where there is a file
 * @throws StoreCorruptError  where the copy is not what was handed in; it is gone then
 */
export async function copySource(source: SourceOnDisk, path: string): Promise<void> {
  await copyFile(source.path, path, constants.COPYFILE_EXCL);
  try {
    await syncFile(path);
    if ((await sha256OfFile(path)) === source.sha256) return;
  } catch (error) {
    await rm(path, { force: true });
    throw error;
  }
  await rm(path, { force: true });
  throw new StoreCorruptError(
    `${source.name} could not be kept as it is: its copy differs from what was handed in. Add the file again; if it happens again, check the disk.`,
  );
}

/** Makes the bytes of a file last through a crash. */
export async function syncFile(path: string): Promise<void> {
  const handle = await open(path, 'r+');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
