import { join } from 'node:path';
import { StoreCorruptError } from '../errors.ts';
import { columnsKey, validColumnsSize } from './columnsFile.ts';
import type { TakeDocument } from './documents.ts';
import { systemCode } from './errors.ts';
import type { IngestRunner } from './ingestTasks.ts';
import { howToPutBack, type SourceOnDisk, sha256OfFile } from './sourceFiles.ts';
import { COLUMNS_NAME, sourcesOf } from './takeFolder.ts';

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
    for (const source of sources) await checkUnchanged(document, source);
    await this.ingest.read({ sources, mapping: document.mapping, columnsPath: path, columnsKey: key }, {});
  }
}

async function checkUnchanged(document: TakeDocument, source: SourceOnDisk): Promise<void> {
  const found = await sha256OfFile(source.path).catch((error: unknown) => {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  });
  if (found === source.sha256) return;
  const what = found === null ? 'is missing' : 'has changed since it was added';
  throw new StoreCorruptError(
    `The source ${source.name} of the take "${document.title}" ${what}. ${howToPutBack(source)}`,
  );
}
