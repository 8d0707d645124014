import { join } from 'node:path';
import { StoreCorruptError } from '../errors.ts';
import { type ColumnsState, columnsKey, lookAtColumns } from './columnsFile.ts';
import type { TakeDocument } from './documents.ts';
import { fileStamp } from './fileStamp.ts';
import type { IngestRunner } from './ingestTasks.ts';
import { COLUMNS_NAME, checkUnchanged, sourcesOf } from './takeFolder.ts';

export interface ColumnsOnDisk {
  readonly path: string;
  readonly sizeBytes: number;
  /** Changes whenever the bytes do. */
  readonly key: string;
}

interface SoundColumns {
  readonly stamp: string;
  readonly key: string;
  readonly sizeBytes: number;
}

/** Columns of takes, read again from their sources where the cache is missing, stale or damaged. */
export class ColumnsCache {
  /** What was found damaged and has been read again, one plain sentence each. */
  readonly notes: string[] = [];
  private readonly ingest: IngestRunner;
  /** Files that were looked at to the bit, as they were then. */
  private readonly sound = new Map<string, SoundColumns>();
  private readonly looking = new Map<string, Promise<ColumnsState>>();
  private readonly rebuilding = new Map<string, Promise<void>>();

  constructor(ingest: IngestRunner) {
    this.ingest = ingest;
  }

  /** @throws StoreCorruptError  if the sources are no longer those that were added. */
  async columns(folder: string, document: TakeDocument): Promise<ColumnsOnDisk> {
    const path = join(folder, COLUMNS_NAME);
    const key = columnsKey(document.sources, document.mapping);
    const found = await this.look(path, key);
    if (found.is === 'valid') return { path, sizeBytes: found.sizeBytes, key };
    await this.rebuildOnce(folder, document, path, key);
    if (found.is === 'damaged') this.note(document, path);
    const rebuilt = await this.look(path, key);
    if (rebuilt.is !== 'valid')
      throw new StoreCorruptError(
        `The columns of the take "${document.title}" were written to ${path} and come back otherwise. Check the disk.`,
      );
    return { path, sizeBytes: rebuilt.sizeBytes, key };
  }

  /** Reads the file to its last bit, once for all who ask meanwhile, and again only where something has written to it since. */
  private async look(path: string, key: string): Promise<ColumnsState> {
    const stamp = await fileStamp(path);
    const known = this.sound.get(path);
    if (known && known.stamp === stamp && known.key === key)
      return { is: 'valid', sizeBytes: known.sizeBytes };
    const place = `${path} ${key}`;
    const looking =
      this.looking.get(place) ?? lookAtColumns(path, key).finally(() => this.looking.delete(place));
    this.looking.set(place, looking);
    const found = await looking;
    this.sound.delete(path);
    if (found.is === 'valid' && stamp !== null)
      this.sound.set(path, { stamp, key, sizeBytes: found.sizeBytes });
    return found;
  }

  private note({ title }: TakeDocument, path: string): void {
    const note = `The columns of the take "${title}" in ${path} were damaged on the disk and have been read again from its source. If that happens again, check the disk.`;
    if (!this.notes.includes(note)) this.notes.push(note);
  }

  private rebuildOnce(folder: string, document: TakeDocument, path: string, key: string): Promise<void> {
    const running = this.rebuilding.get(path);
    if (running) return running;
    const rebuilt = this.rebuild(folder, document, path, key).finally(() => this.rebuilding.delete(path));
    this.rebuilding.set(path, rebuilt);
    return rebuilt;
  }

  private async rebuild(folder: string, document: TakeDocument, path: string, key: string): Promise<void> {
    const sources = sourcesOf(folder, document);
    await checkUnchanged(document, sources);
    await this.ingest.read({ sources, mapping: document.mapping, columnsPath: path, columnsKey: key }, {});
  }
}
