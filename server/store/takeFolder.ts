import { readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { StoreCorruptError } from '../errors.ts';
import { documentText, removeTemps, writeAtomic } from './atomicFile.ts';
import { checkedDocument } from './checkDocument.ts';
import type { TakeDocument } from './documents.ts';
import { fromSystemError, messageOf, systemCode } from './errors.ts';
import { howToPutBack, olderFileNames, type SourceOnDisk, sha256OfFile } from './sourceFiles.ts';

export const DOCUMENT_NAME = 'take.json';
export const COLUMNS_NAME = 'columns.bin';
export const SOURCE_FOLDER = 'source';

const WHY: Readonly<Record<string, string>> = {
  ENOENT: `${DOCUMENT_NAME} is missing`,
  ENOTDIR: 'it is no folder',
};

export function writeTakeDocument(folder: string, document: TakeDocument): Promise<void> {
  return writeAtomic(join(folder, DOCUMENT_NAME), documentText(document));
}

/**
 * The take that a folder holds; what a crash left over in the folder is removed.
 * @throws StoreCorruptError  saying why this program cannot read it; which one it is, the caller says.
 */
export async function readTakeFolder(folder: string, id: string): Promise<TakeDocument> {
  await removeTemps(folder).catch(() => {});
  return readDocument(folder, id);
}

/** The text of a take's document as it lies there; null where there is none. */
export function documentTextIn(folder: string): Promise<string | null> {
  return readFile(join(folder, DOCUMENT_NAME), 'utf8').catch((error: unknown) => {
    if (systemCode(error) === 'ENOENT') return null;
    throw fromSystemError(error);
  });
}

/** The take that a folder holds, of which nothing is touched. @throws StoreCorruptError  as above */
export function readDocument(folder: string, id: string): Promise<TakeDocument> {
  return documentIn(folder, (value) => checkedDocument(value, id));
}

/**
 * The take that a folder of the trash holds. There it goes by the folder's name: one that made room for another of the same id
 * has another name than its document says.
 * @throws StoreCorruptError  as above
 */
export async function readRemoved(
  folder: string,
  id: string,
): Promise<{ readonly document: TakeDocument; readonly isNamedAnew: boolean }> {
  await removeTemps(folder).catch(() => {});
  let isNamedAnew = false;
  const document = await documentIn(folder, (value) => {
    if (typeof value !== 'object' || value === null || !('id' in value)) return checkedDocument(value, id);
    isNamedAnew = value.id !== id;
    return checkedDocument({ ...value, id }, id);
  });
  return { document, isNamedAnew };
}

/** As `readDocument`, without waiting: for one take that is asked for. */
export function readDocumentNow(folder: string, id: string): TakeDocument {
  try {
    return checkedDocument(JSON.parse(readFileSync(join(folder, DOCUMENT_NAME), 'utf8')), id);
  } catch (error) {
    throw unreadable(error);
  }
}

async function documentIn(folder: string, check: (value: unknown) => TakeDocument): Promise<TakeDocument> {
  try {
    return check(JSON.parse(await readFile(join(folder, DOCUMENT_NAME), 'utf8')));
  } catch (error) {
    throw unreadable(error);
  }
}

function unreadable(error: unknown): StoreCorruptError {
  return new StoreCorruptError(WHY[systemCode(error) ?? ''] ?? messageOf(error));
}

export function sourcesOf(folder: string, document: TakeDocument): SourceOnDisk[] {
  const older = olderFileNames(document.sources.map((source) => source.name));
  return document.sources.map((source, i) => {
    const path = join(folder, SOURCE_FOLDER, source.storedAs ?? older[i]!);
    return { ...source, path };
  });
}

/** @throws StoreCorruptError  if the sources are no longer those that were added. */
export async function checkUnchanged(
  document: TakeDocument,
  sources: readonly SourceOnDisk[],
): Promise<void> {
  for (const source of sources) {
    const found = await sha256OfFile(source.path).catch((error: unknown) => {
      if (systemCode(error) === 'ENOENT') return null;
      throw error;
    });
    if (found === source.sha256) continue;
    const what = found === null ? 'is missing' : 'has changed since it was added';
    throw new StoreCorruptError(
      `The source ${source.name} of the take "${document.title}" ${what}. ${howToPutBack(source)}`,
    );
  }
}
