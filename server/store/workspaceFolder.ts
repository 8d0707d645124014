import { readdir } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { StoreCorruptError } from '../errors.ts';
import { documentText, makeFolder } from './atomicFile.ts';
import { messageOf, systemCode, WorkspaceError } from './errors.ts';
import { LOCK_NAME } from './lock.ts';
import { RECORDINGS_FOLDER } from './recordings/recordingFiles.ts';
import type { SeenFile } from './seenFile.ts';
import { INDEX_NAME } from './takeIndex.ts';

/** `workspace.json`. */
export interface WorkspaceDocument {
  readonly format: 1;
  readonly name: string;
  /** Names of the demonstration takes that were added once. */
  readonly demoAdded: readonly string[];
}

export const DOCUMENT = 'workspace.json';
const FOLDERS = ['takes', 'uploads', 'trash', 'settings', RECORDINGS_FOLDER] as const;
const FILES: readonly string[] = [DOCUMENT, 'candidates.json', 'mappings.json', INDEX_NAME, LOCK_NAME];
const ELSEWHERE = 'choose another folder with --workspace.';

/**
 * Makes the folder of a workspace where there is none.
 * @throws WorkspaceError  where it holds other things: it is refused rather than written into
 */
export async function prepareFolder(path: string): Promise<void> {
  await makeFolder(path);
  const names = await readdir(path);
  if (names.includes(DOCUMENT)) return;
  const foreign = names.filter((name) => !isOwn(name));
  if (foreign.length === 0) return;
  throw new WorkspaceError(
    `The folder ${path} is no workspace: it holds ${foreign.slice(0, 3).join(', ')}. Choose an empty or a new folder with --workspace.`,
  );
}

/** What is the program's own, whole or as a crash left it, beside what file managers leave everywhere. */
export function isOwn(name: string): boolean {
  const folders: readonly string[] = FOLDERS;
  return folders.includes(name) || FILES.some((own) => name.startsWith(own)) || name === '.DS_Store';
}

/** @throws WorkspaceError  where something else lies in a folder's place */
export async function makeFolders(path: string): Promise<void> {
  for (const folder of FOLDERS) {
    await makeFolder(join(path, folder)).catch((error: unknown) => {
      if (systemCode(error) !== 'EEXIST') throw error;
      throw new WorkspaceError(
        `${join(path, folder)} is no folder, so this program did not put it there. Move it away, or ${ELSEWHERE}`,
      );
    });
  }
}

interface OpenedDocument {
  readonly document: WorkspaceDocument;
  /** What there is to tell of it, a plain sentence each. */
  readonly notes: readonly string[];
}

/**
 * The workspace's own document; a new one where there is none.
 * @throws StoreCorruptError  where this program cannot read it
 */
export async function openDocument(file: SeenFile, path: string): Promise<OpenedDocument> {
  const text = await file.read();
  if (text !== null) return { document: parseDocument(text, file.path), notes: [] };
  const document: WorkspaceDocument = { format: 1, name: basename(path).replace(/^\.+/, ''), demoAdded: [] };
  const isNew = (await readdir(join(path, 'takes'))).length === 0;
  await file.write(documentText(document));
  const note = `${DOCUMENT} was missing and has been written anew. Takes, candidates and settings are as they were.`;
  return { document, notes: isNew ? [] : [note] };
}

/** @throws StoreCorruptError  where it is no document of this version */
function parseDocument(text: string, path: string): WorkspaceDocument {
  let document: Partial<WorkspaceDocument> | null;
  try {
    document = JSON.parse(text);
  } catch (error) {
    throw new StoreCorruptError(`${path} cannot be read: ${messageOf(error)}. Mend it, or ${ELSEWHERE}`);
  }
  if (typeof document !== 'object' || document === null)
    throw new StoreCorruptError(`${path} cannot be read: it holds no workspace. Mend it, or ${ELSEWHERE}`);
  const { format, name, demoAdded } = document;
  if (format !== 1 || typeof name !== 'string' || !Array.isArray(demoAdded)) {
    throw new StoreCorruptError(
      `${path} is not of this version of the program. Use the version that wrote it, or ${ELSEWHERE}`,
    );
  }
  return { format, name, demoAdded };
}
