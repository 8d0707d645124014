import { join } from 'node:path';
import { columnsKey, validColumnsSize } from './columnsFile.ts';
import type { TakeDocument } from './documents.ts';
import type { IngestRunner } from './ingestTasks.ts';
import { COLUMNS_NAME, checkUnchanged, sourcesOf } from './takeFolder.ts';

export interface ColumnsOnDisk {
  readonly path: string;
  readonly sizeBytes: number;
  /** Changes whenever the bytes do. */
  readonly key: string;
}

/** Columns of takes, read again from their sources where the cache is missing, stale or cut short. */
export class ColumnsCache {
  private readonly ingest: IngestRunner;
  private readonly rebuilding = new Map<string, Promise<void>>();

  constructor(ingest: IngestRunner) {
    this.ingest = ingest;
  }

  /** @throws StoreCorruptError  if the sources are no longer those that were added. */
  async columns(folder: string, document: TakeDocument): Promise<ColumnsOnDisk> {
    const path = join(folder, COLUMNS_NAME);
    const key = columnsKey(document.sources, document.mapping);
    let sizeBytes = await validColumnsSize(path, key);
    if (sizeBytes === null) {
      await this.rebuildOnce(folder, document, path, key);
      sizeBytes = await validColumnsSize(path, key);
    }
    if (sizeBytes === null) throw new Error(`${path} was written and is not whole`);
    return { path, sizeBytes, key };
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
