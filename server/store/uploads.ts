import { createHash } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { lstat, readdir, readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { type Readable, Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { documentText, makeFolder, writeAtomic } from './atomicFile.ts';
import type { SourceFile, UploadedFile } from './documents.ts';
import {
  fromSystemError,
  systemCode,
  UploadBrokenError,
  UploadNotFoundError,
  UploadTooLargeError,
} from './errors.ts';
import { ID, newUploadId, parseUploadId, type UploadId } from './ids.ts';
import { syncFile } from './keepSources.ts';
import type { SerialWork } from './serialWork.ts';
import type { SourceOnDisk } from './sourceFiles.ts';

export const UPLOAD_LIMIT_BYTES = 512 * 1024 * 1024;
const DOCUMENT = 'upload.json';
const DAY_MS = 24 * 60 * 60 * 1000;

/** Files handed in but not yet part of a take: `uploads/<id>/data` and, once it is whole, `upload.json`. */
export class UploadStore {
  private readonly folder: string;
  private readonly limitBytes: number;
  private readonly work: SerialWork;
  /** Those that are being made part of a take: they are used up by it, so none is taken twice. */
  private readonly inUse = new Set<string>();

  constructor(folder: string, work: SerialWork, limitBytes: number = UPLOAD_LIMIT_BYTES) {
    this.folder = folder;
    this.work = work;
    this.limitBytes = limitBytes;
  }

  /**
   * Writes a stream to disk as it comes.
   * @throws UploadTooLargeError | UploadBrokenError | DiskFullError; nothing of the file stays then.
   */
  receive(name: string, stream: Readable): Promise<UploadedFile> {
    const uploadId = newUploadId();
    return this.work.run(uploadId, () => this.write(uploadId, name, stream));
  }

  /** @throws UploadTooLargeError  if a file of this size would not be taken. */
  checkSize(sizeBytes: number): void {
    if (!(sizeBytes <= this.limitBytes)) throw this.tooLarge();
  }

  /** @throws UploadNotFoundError  if one of them is not there as a whole. */
  async sources(ids: readonly string[]): Promise<SourceOnDisk[]> {
    return Promise.all(ids.map((id) => this.source(id)));
  }

  /**
   * Uses uploads up: while something is made of them nobody else makes anything of them, and once it is made they are gone.
   * @throws UploadNotFoundError  if one of them is not there as a whole, or is being used up; and what `make` throws, and then
   * they stay
   */
  async useUp<Made>(ids: readonly string[], make: (sources: SourceOnDisk[]) => Promise<Made>): Promise<Made> {
    if (ids.some((id) => this.inUse.has(id))) throw notFound();
    for (const id of ids) this.inUse.add(id);
    try {
      const made = await make(await this.sources(ids));
      // Nothing is lost by what is left; what nobody takes up goes after a day.
      for (const id of ids) await this.discard(id).catch(() => {});
      return made;
    } finally {
      for (const id of ids) this.inUse.delete(id);
    }
  }

  /** @throws UploadNotFoundError  if there is none. */
  async discard(id: string): Promise<void> {
    const folder = join(this.folder, parseUploadId(id));
    try {
      await rm(folder, { recursive: true });
    } catch (error) {
      throw systemCode(error) === 'ENOENT' ? notFound() : error;
    }
  }

  /** Forgets what nobody has taken up for a day, and what was cut off before it was whole. Not while any are received. */
  async discardOld(nowMs: number): Promise<void> {
    for (const name of await readdir(this.folder)) {
      // What this program did not put there is not its to remove.
      if (!ID.test(name)) continue;
      const path = join(this.folder, name);
      const found = await lstat(path);
      if (!found.isDirectory()) continue;
      const isWhole = (await readdir(path)).includes(DOCUMENT);
      if (!isWhole || nowMs - found.mtimeMs > DAY_MS) await rm(path, { recursive: true, force: true });
    }
  }

  private async write(uploadId: UploadId, name: string, stream: Readable): Promise<UploadedFile> {
    const folder = join(this.folder, uploadId);
    try {
      await makeFolder(folder);
      const { sizeBytes, sha256 } = await this.writeData(join(folder, 'data'), stream);
      const file: SourceFile = { name, sizeBytes, sha256 };
      await writeAtomic(join(folder, DOCUMENT), documentText(file));
      return { uploadId, name, sizeBytes };
    } catch (error) {
      await rm(folder, { recursive: true, force: true }).catch(() => {});
      throw fromSystemError(error);
    }
  }

  private async source(id: string): Promise<SourceOnDisk> {
    const folder = join(this.folder, parseUploadId(id));
    const text = await readFile(join(folder, DOCUMENT), 'utf8').catch(() => {
      throw notFound();
    });
    return { ...(JSON.parse(text) as SourceFile), path: join(folder, 'data') };
  }

  private async writeData(path: string, stream: Readable): Promise<{ sizeBytes: number; sha256: string }> {
    const hash = createHash('sha256');
    let sizeBytes = 0;
    const meter = new Transform({
      transform: (chunk: Buffer, _encoding, done) => {
        sizeBytes += chunk.length;
        hash.update(chunk);
        done(sizeBytes > this.limitBytes ? this.tooLarge() : null, chunk);
      },
    });
    try {
      await pipeline(stream, meter, createWriteStream(path, { flags: 'wx' }));
    } catch (error) {
      throw isBroken(error) ? new UploadBrokenError('The upload broke off.') : error;
    }
    await syncFile(path);
    return { sizeBytes, sha256: hash.digest('hex') };
  }

  private tooLarge(): UploadTooLargeError {
    const limit = Math.floor(this.limitBytes / (1024 * 1024));
    return new UploadTooLargeError(
      `The file is larger than ${limit} MiB. Cut the log into shorter takes and add them one by one.`,
    );
  }
}

function notFound(): UploadNotFoundError {
  return new UploadNotFoundError('This upload is not there (any more). Choose the file again.');
}

function isBroken(error: unknown): boolean {
  return ['ECONNRESET', 'ERR_STREAM_PREMATURE_CLOSE', 'ABORT_ERR'].includes(systemCode(error) ?? '');
}
