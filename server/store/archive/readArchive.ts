import type { Readable } from 'node:stream';
import { crc32 } from 'node:zlib';
import { type Entry, open, type ZipFile } from 'yauzl';
import type { KeptSetting } from '../../engine/kept/keptSetting.ts';
import { readLabelsDocument } from '../../engine/labels/labelsRead.ts';
import { LogFormatError } from '../../errors.ts';
import type { RememberedMapping } from '../../ingest/ground/remembered.ts';
import { checkedDocument } from '../checkDocument.ts';
import type { TakeDocument } from '../documents.ts';
import { messageOf } from '../errors.ts';
import { checkedMappings } from '../mappingsStore.ts';
import { readSettingFile } from '../settingFile.ts';
import { UPLOAD_LIMIT_BYTES } from '../uploads.ts';
import { ARCHIVE_FORMAT, ARCHIVE_VERSION, type EntryKind, entryKind, type Manifest } from './entries.ts';

/** A document is text that a person could read; a longer one is none of ours. */
const TEXT_LIMIT_BYTES = 64 * 1024 * 1024;
/** Some thousand takes; what has more is refused before it is looked at. */
const ENTRIES_AT_MOST = 20_000;

/** A take in an archive; its sources are read when they are asked for. */
export interface ArchivedTake {
  readonly document: TakeDocument;
  /** @param place  counts from 0 among its sources */
  openSource(place: number): Promise<Readable>;
}

export interface Archive {
  readonly createdAt: string;
  readonly takes: readonly ArchivedTake[];
  readonly mappings: readonly RememberedMapping[];
  readonly settings: readonly KeptSetting[];
  close(): void;
}

interface NamedEntry {
  readonly entry: Entry;
  readonly is: EntryKind;
}

/**
 * Opens an archive and looks at everything in it but the sources' bytes. Nothing is unpacked to a path of its own: entries
 * are known by their names, and what no archive of this program holds is refused.
 * @throws LogFormatError  saying what in it cannot be used: no zip, a path that leads elsewhere, a name twice, an entry
 * larger than any recording, a take that lacks a part, or the work of a newer program.
 */
export async function openArchive(path: string, name: string): Promise<Archive> {
  const refuse = (why: string): LogFormatError => new LogFormatError(why, { file: name });
  const zip = await openZip(path).catch((error: unknown) => {
    throw refuse(`it is no zip file that can be read: ${messageOf(error)}.`);
  });
  try {
    const entries = await listEntries(zip, refuse);
    const manifest = readManifest(await jsonOf(zip, one(entries, 'manifest'), refuse), refuse);
    const takes: ArchivedTake[] = [];
    const settings: KeptSetting[] = [];
    for (const { entry, is } of entries.values())
      if (is.kind === 'document') takes.push(await takeOf(zip, entries, entry, is.takeId, refuse));
      else if (is.kind === 'keptSetting') settings.push(await settingOf(zip, entry, refuse));
    const missing = manifest.takes.find(({ id }) => !takes.some(({ document }) => document.id === id));
    if (missing) throw refuse(`the take "${missing.title}" is not in it. Ask for the file again.`);
    const mappings = await mappingsOf(zip, one(entries, 'mappings'), refuse);
    return {
      createdAt: manifest.createdAt,
      takes,
      mappings,
      settings,
      close: () => zip.close(),
    };
  } catch (error) {
    zip.close();
    throw error;
  }
}

function openZip(path: string): Promise<ZipFile> {
  const options = { lazyEntries: true, autoClose: false, strictFileNames: true, validateEntrySize: true };
  return new Promise((resolve, reject) => {
    open(path, options, (error, zip) => (error ? reject(error) : resolve(zip)));
  });
}

type Refuse = (why: string) => LogFormatError;

function listEntries(zip: ZipFile, refuse: Refuse): Promise<ReadonlyMap<string, NamedEntry>> {
  if (zip.entryCount > ENTRIES_AT_MOST)
    return Promise.reject(refuse(`it holds ${zip.entryCount} entries, more than ${ENTRIES_AT_MOST}.`));
  const entries = new Map<string, NamedEntry>();
  return new Promise((resolve, reject) => {
    zip.on('error', (error: Error) => reject(refuse(`it cannot be used: ${error.message}.`)));
    zip.on('end', () => resolve(entries));
    zip.on('entry', (entry: Entry) => {
      const is = entryKind(entry.fileName);
      const why = whyNot(entry, is) ?? (entries.has(entry.fileName) ? 'it is there twice' : null);
      if (why !== null || is === null) {
        reject(refuse(`its entry "${entry.fileName}" cannot be used: ${why}.`));
        return;
      }
      entries.set(entry.fileName, { entry, is });
      zip.readEntry();
    });
    zip.readEntry();
  });
}

function whyNot(entry: Entry, is: EntryKind | null): string | null {
  if (is === null) return 'no archive of this program has such a name';
  if (entry.isEncrypted()) return 'it is encrypted';
  const limit = is.kind === 'source' ? UPLOAD_LIMIT_BYTES : TEXT_LIMIT_BYTES;
  if (entry.uncompressedSize > limit)
    return `it would be ${(entry.uncompressedSize / 2 ** 20).toFixed(0)} MiB unpacked, and at most ${limit / 2 ** 20} MiB are taken`;
  return null;
}

function one(entries: ReadonlyMap<string, NamedEntry>, kind: EntryKind['kind']): Entry | null {
  for (const { entry, is } of entries.values()) if (is.kind === kind) return entry;
  return null;
}

function readManifest(value: unknown, refuse: Refuse): Manifest {
  const manifest = value as Partial<Manifest> | null;
  if (manifest?.format !== ARCHIVE_FORMAT || !Array.isArray(manifest.takes))
    throw refuse('it is no archive of this program.');
  if (!(typeof manifest.version === 'number' && manifest.version <= ARCHIVE_VERSION))
    throw refuse('a newer version of this program wrote it: open it with that one.');
  return manifest as Manifest;
}

/** Checked as the workspace's own are: a wrong one would spoil all that are remembered there. */
async function mappingsOf(
  zip: ZipFile,
  entry: Entry | null,
  refuse: Refuse,
): Promise<readonly RememberedMapping[]> {
  if (entry === null) return [];
  const value = await jsonOf(zip, entry, refuse);
  try {
    return checkedMappings(value);
  } catch (error) {
    throw refuse(`its entry "${entry.fileName}" cannot be used: ${messageOf(error)}.`);
  }
}

async function settingOf(zip: ZipFile, entry: Entry, refuse: Refuse): Promise<KeptSetting> {
  const value = await jsonOf(zip, entry, refuse);
  try {
    return readSettingFile(value);
  } catch (error) {
    throw refuse(`its setting "${entry.fileName}" cannot be used: ${messageOf(error)}.`);
  }
}

async function takeOf(
  zip: ZipFile,
  entries: ReadonlyMap<string, NamedEntry>,
  entry: Entry,
  id: string,
  refuse: Refuse,
): Promise<ArchivedTake> {
  const value = await jsonOf(zip, entry, refuse);
  let document: TakeDocument;
  try {
    document = checkedDocument(value, id);
    readLabelsDocument({ labels: document.labels });
  } catch (error) {
    throw refuse(`its take ${id} cannot be used: ${messageOf(error)}.`);
  }
  const own = document.sources.map((source, place) => {
    const found = [...entries.values()].find(
      ({ is }) => is.kind === 'source' && is.takeId === id && is.place === place,
    );
    if (found?.entry.uncompressedSize === source.sizeBytes) return found.entry;
    throw refuse(`its take "${document.title}" lacks ${source.name}, or not all of it is there.`);
  });
  return { document, openSource: (place) => streamOf(zip, own[place]!) };
}

async function jsonOf(zip: ZipFile, entry: Entry | null, refuse: Refuse): Promise<unknown> {
  if (entry === null) throw refuse('it is no archive of this program.');
  const chunks: Buffer[] = [];
  try {
    for await (const chunk of await streamOf(zip, entry)) chunks.push(chunk as Buffer);
    const bytes = Buffer.concat(chunks);
    // The reader of zips leaves its checksum to whoever reads.
    if (crc32(bytes) !== entry.crc32) throw new Error('it is damaged; ask for the file again');
    return JSON.parse(bytes.toString('utf8'));
  } catch (error) {
    throw refuse(`its entry "${entry.fileName}" cannot be read: ${messageOf(error)}.`);
  }
}

function streamOf(zip: ZipFile, entry: Entry): Promise<Readable> {
  return new Promise((resolve, reject) => {
    zip.openReadStream(entry, (error, stream) => (error ? reject(error) : resolve(stream)));
  });
}
