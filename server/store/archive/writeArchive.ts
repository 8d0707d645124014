import { createReadStream } from 'node:fs';
import { ZipFile } from 'yazl';
import { formatKeptFile } from '../../engine/kept/keptFile.ts';
import { takesFor } from '../../engine/kept/stale.ts';
import { formatCandidateFile } from '../../engine/settings/candidateFile.ts';
import { documentText } from '../atomicFile.ts';
import type { TakeDocument } from '../documents.ts';
import { checkUnchanged, sourcesOf } from '../takeFolder.ts';
import type { Workspace } from '../workspace.ts';
import {
  ARCHIVE_FORMAT,
  ARCHIVE_VERSION,
  documentName,
  keptSettingName,
  MANIFEST_NAME,
  MAPPINGS_NAME,
  type Manifest,
  settingName,
  sourceName,
} from './entries.ts';

/**
 * Takes of a workspace as the bytes of one zip: their documents with mapping, labels and calibration, their sources byte
 * for byte, what is remembered of columns, the kept settings that are for any of them, and both candidates. Computed columns are not in it.
 * @param ids  of the takes that go in; null for all. @param createdAt  ISO 8601.
 * @throws TakeNotFoundError | StoreCorruptError  before the first byte
 */
export async function archiveOf(
  workspace: Workspace,
  ids: readonly string[] | null,
  createdAt: string,
): Promise<AsyncIterable<Uint8Array>> {
  const { takes, candidates, mappings, settings } = workspace;
  const { documents, sources } = await gather(workspace, ids);
  const zip = new ZipFile();
  const addText = (name: string, text: string) => zip.addBuffer(Buffer.from(text), name);
  addText(MANIFEST_NAME, documentText(manifestOf(documents, createdAt)));
  for (const document of documents) {
    addText(documentName(document.id), documentText(document));
    for (const [place, { path, sizeBytes }] of sources.get(document.id)!.entries()) {
      const name = sourceName(document.id, place);
      zip.addReadStreamLazy(name, { size: sizeBytes }, (give) => give(null, createReadStream(path)));
    }
  }
  addText(MAPPINGS_NAME, documentText({ format: 1, mappings: mappings.list() }));
  const summaries = takes.list().filter(({ id }) => documents.some((document) => document.id === id));
  for (const setting of settings.list())
    if (ids === null || takesFor(setting, summaries).length > 0)
      addText(keptSettingName(setting.id), formatKeptFile(setting));
  const { a, b } = candidates.get();
  addText(settingName('A'), formatCandidateFile(a));
  addText(settingName('B'), formatCandidateFile(b));
  zip.end();
  return zip.outputStream as AsyncIterable<Uint8Array> & NodeJS.ReadableStream;
}

/** How many bytes of recordings would go in. @throws TakeNotFoundError | StoreCorruptError */
export async function recordedBytes(workspace: Workspace, ids: readonly string[] | null): Promise<number> {
  const { documents } = await gather(workspace, ids);
  return documents.flatMap((document) => document.sources).reduce((sum, { sizeBytes }) => sum + sizeBytes, 0);
}

/** The takes and their sources, each of which is as it was handed in. */
async function gather({ takes }: Workspace, ids: readonly string[] | null) {
  const documents = (ids ?? takes.list().map(({ id }) => id)).map((id) => takes.get(id));
  const sources = new Map(
    documents.map((document) => [document.id, sourcesOf(takes.folderOf(document.id), document)]),
  );
  for (const document of documents) await checkUnchanged(document, sources.get(document.id)!);
  return { documents, sources };
}

function manifestOf(documents: readonly TakeDocument[], createdAt: string): Manifest {
  return {
    format: ARCHIVE_FORMAT,
    version: ARCHIVE_VERSION,
    createdAt,
    takes: documents.map(({ id, title }) => ({ id, title })),
  };
}
