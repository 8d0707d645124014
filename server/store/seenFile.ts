import { createHash } from 'node:crypto';
import { access, readFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { StoreConflictError } from '../errors.ts';
import { moveTo, writeAtomic } from './atomicFile.ts';
import { systemCode } from './errors.ts';

/**
 * A document's file, of which is known what it held when it was last read or written here. The workspace is locked against
 * other servers, but not against an editor or a program that syncs folders: what such a one wrote is not written over.
 */
export class SeenFile {
  readonly path: string;
  /** Of the bytes; null where there was no file. */
  private seen: string | null = null;

  constructor(path: string) {
    this.path = path;
  }

  /** Null where there is no file. @throws Error of the file system */
  async read(): Promise<string | null> {
    const bytes = await bytesOf(this.path);
    this.seen = bytes && hashOf(bytes);
    return bytes === null ? null : bytes.toString('utf8');
  }

  /** Whether the file is another than the one that was read or written here last. One that is gone is none. */
  async isChanged(): Promise<boolean> {
    const bytes = await bytesOf(this.path).catch(() => null);
    return bytes !== null && hashOf(bytes) !== this.seen;
  }

  /** @throws StoreConflictError  where another program has changed the file meanwhile; nothing is written then */
  async write(text: string): Promise<void> {
    if (await this.isChanged())
      throw new StoreConflictError(
        `Another program has changed ${this.path}. Read it again; nothing was written over it.`,
      );
    await writeAtomic(this.path, text);
    this.seen = hashOf(Buffer.from(text));
  }

  /** Makes room for a new file: whatever lies there gets the name `….unreadable.json`, or with the first number that is free. */
  async setAside(): Promise<void> {
    await moveTo(this.path, await freeName(this.path)).catch((error: unknown) => {
      if (systemCode(error) !== 'ENOENT') throw error;
    });
    this.seen = null;
  }
}

async function bytesOf(path: string): Promise<Buffer | null> {
  try {
    return await readFile(path);
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  }
}

function hashOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

async function freeName(path: string): Promise<string> {
  for (let n = 1; ; ++n) {
    const name = basename(path).replace(/\.json$/, `.unreadable${n === 1 ? '' : `-${n}`}.json`);
    const free = join(dirname(path), name);
    const isThere = await access(free).then(
      () => true,
      () => false,
    );
    if (!isThere) return free;
  }
}
