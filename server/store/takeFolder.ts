import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { LoggedDecisions } from '../engine/base/decisions.ts';
import { RECORDED_ON } from '../engine/base/session.ts';
import { StoreCorruptError } from '../errors.ts';
import { documentText, removeTemps, writeAtomic } from './atomicFile.ts';
import { DOCUMENT_FORMAT, type SourceFile, type TakeDocument } from './documents.ts';
import { messageOf, systemCode } from './errors.ts';
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

async function documentIn(folder: string, check: (value: unknown) => TakeDocument): Promise<TakeDocument> {
  try {
    return check(JSON.parse(await readFile(join(folder, DOCUMENT_NAME), 'utf8')));
  } catch (error) {
    throw new StoreCorruptError(WHY[systemCode(error) ?? ''] ?? messageOf(error));
  }
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

/** @throws TypeError  saying why it is not the document of the take. */
export function checkedDocument(value: unknown, id: string): TakeDocument {
  const document = value as TakeDocument | null;
  if (typeof document !== 'object' || document === null) throw new TypeError('it holds no take');
  if (document.format > DOCUMENT_FORMAT) throw new TypeError('a newer version of this program wrote it');
  const { labels, calibration, mapping, report } = document;
  const isTake =
    document.format === DOCUMENT_FORMAT &&
    document.id === id &&
    Number.isInteger(document.revision) &&
    [document.title, document.performer, document.drill, document.notes].every(
      (x) => typeof x === 'string',
    ) &&
    [document.sources, document.presses, document.textSpans].every(Array.isArray) &&
    document.sources.length > 0 &&
    document.sources.every(isSource) &&
    [labels?.presses, labels?.spans, labels?.swings, mapping?.columns, report?.warnings].every(
      Array.isArray,
    ) &&
    (labels.gestures === undefined || Array.isArray(labels.gestures)) &&
    (document.decisions === undefined || areDecisions(document.decisions)) &&
    ['undefined', 'boolean'].includes(typeof document.useUnfit) &&
    RECORDED_ON.every((name) => ['undefined', 'string'].includes(typeof document[name])) &&
    typeof calibration?.mount?.tip === 'string';
  if (!isTake) throw new TypeError('parts of it are missing or of the wrong kind');
  return document;
}

/** Each part a list, or null where the log has no such column. */
function areDecisions(value: Partial<LoggedDecisions> | null): boolean {
  if (typeof value !== 'object' || value === null) return false;
  return [value.guardClosed, value.refusedUs, value.fires].every(
    (part) => part === null || Array.isArray(part),
  );
}

/** Also false where a source's name on disk leads out of the folder of sources. */
function isSource(source: Partial<SourceFile> | null): boolean {
  if (typeof source !== 'object' || source === null) return false;
  const { name, sizeBytes, sha256, storedAs } = source;
  if (typeof name !== 'string' || !Number.isInteger(sizeBytes) || typeof sha256 !== 'string') return false;
  if (storedAs !== undefined && typeof storedAs !== 'string') return false;
  return storedAs === undefined || (/^[^/\\\0]+$/.test(storedAs) && !/^\.\.?$/.test(storedAs));
}
