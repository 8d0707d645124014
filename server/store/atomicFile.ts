import { mkdir, open, readdir, rename, rm } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { fromSystemError, systemCode } from './errors.ts';

const TEMP = /\.[0-9]+-[0-9]+\.tmp$/;
let written = 0;

/** What a file is to hold, in order; written as it comes, so that a long one need not be in memory as a whole. */
export type FileParts = string | Iterable<Uint8Array | string> | AsyncIterable<Uint8Array | string>;

/**
 * Replaces a file of the workspace as a whole; see `replaceFile`.
 * @throws DiskFullError | DiskRefusedError | StoreCorruptError  where the disk does not take it
 */
export async function writeAtomic(path: string, parts: FileParts): Promise<void> {
  try {
    await replaceFile(path, parts);
  } catch (error) {
    // The temp file's name would tell nobody what is missing.
    if (systemCode(error) === 'ENOENT')
      throw fromSystemError(Object.assign(error as Error, { path: dirname(path) }));
    throw fromSystemError(error);
  }
}

/**
 * Replaces a file as a whole: whoever reads it, also after a crash at any moment, finds the old bytes or the new ones.
 * Temp file in the same folder, fsync, rename, fsync of the folder. Nothing is left behind where it fails.
 * @param mode  permissions of the new file; the system's own choice by default
 */
export async function replaceFile(path: string, parts: FileParts, mode?: number): Promise<void> {
  const temp = temporaryName(path);
  try {
    await writeAndSync(temp, typeof parts === 'string' ? [parts] : parts, mode);
    await rename(temp, path);
  } catch (error) {
    await rm(temp, { force: true });
    throw error;
  }
  await syncFolder(dirname(path));
}

/**
 * A document as the text of its file.
 * @throws TypeError  if it holds a number that JSON would turn into null.
 */
export function documentText(document: object): string {
  const text = JSON.stringify(
    document,
    (key, value: unknown) => {
      if (typeof value === 'number' && !Number.isFinite(value)) throw new TypeError(`${key} is ${value}`);
      return value;
    },
    1,
  );
  return `${text}\n`;
}

/** Makes the names in a folder (a rename, a new file) last through a crash. */
export async function syncFolder(folder: string): Promise<void> {
  // Windows opens no folders; its file system orders these writes by itself.
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Makes a folder, with those above it that are missing, so that it lasts through a crash; nothing where it is there. */
export async function makeFolder(path: string): Promise<void> {
  const whole = resolve(path);
  const first = await mkdir(whole, { recursive: true });
  if (first === undefined) return;
  for (let made = whole; made.length >= first.length; made = dirname(made)) await syncFolder(dirname(made));
}

/** Moves a file or folder to another folder: it is at its new place on the disk before it is gone from the old one. */
export async function moveTo(from: string, to: string): Promise<void> {
  await rename(from, to);
  await syncFolder(dirname(to));
  if (dirname(from) !== dirname(to)) await syncFolder(dirname(from));
}

/** A name beside a file that no other write uses, and that `removeTemps` knows. */
export function temporaryName(path: string): string {
  return `${path}.${process.pid}-${++written}.tmp`;
}

/** Removes what a crash left in the folder under names of `temporaryName`. */
export async function removeTemps(folder: string): Promise<void> {
  for (const name of await readdir(folder)) {
    if (TEMP.test(name)) await rm(join(folder, name), { force: true });
  }
}

async function writeAndSync(path: string, parts: Exclude<FileParts, string>, mode?: number): Promise<void> {
  const handle = await open(path, 'wx');
  try {
    if (mode !== undefined) await handle.chmod(mode);
    for await (const part of parts) await handle.writeFile(part);
    await handle.sync();
  } finally {
    await handle.close();
  }
}
