import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';

/**
 * A disk that loses what was not flushed. It notes what each file held, and which names each folder held, whenever that very
 * file or folder is flushed; `remains` builds what a power cut would leave of it: those bytes under those names, and nothing
 * that was only written. So a file whose folder was never flushed is gone, and one that was not flushed itself is empty.
 * That is harsher than any journalling file system; what passes here rests on no such system's habits.
 */
export class PowerCut {
  private readonly root: string;
  /** Links to every file that was flushed: while they are there its number is not given to another file. */
  private readonly kept: string;
  private readonly contents = new Map<string, Buffer>();
  private readonly names = new Map<string, Map<string, Entry>>();
  private readonly held: number[] = [];
  private readonly paths = new Map<number, string>();
  private undo: (() => void)[] = [];
  /** What was flushed, in order: paths below the root. */
  readonly flushed: string[] = [];
  private onFlush: () => void = () => {};

  /** @param root  a folder; all below it counts as flushed to begin with. @param kept  a folder of the same disk */
  constructor(root: string, kept: string) {
    this.root = root;
    this.kept = kept;
    this.noteAll(root);
  }

  /** Notes flushes while something is done. @param onFlush  called after each of them */
  async during<Result>(act: () => Promise<Result>, onFlush: () => void = () => {}): Promise<Result> {
    this.onFlush = onFlush;
    this.listen();
    try {
      return await act();
    } finally {
      for (const back of this.undo) back();
      this.undo = [];
      syncBuiltinESMExports();
    }
  }

  /** Builds what a power cut would leave now. @param to  a folder that is not there yet */
  remains(to: string): void {
    this.build(idOf(this.root), to);
  }

  close(): void {
    for (const fd of this.held) fs.closeSync(fd);
  }

  private build(folder: string, to: string): void {
    fs.mkdirSync(to);
    for (const [name, { id, isFolder }] of this.names.get(folder) ?? [])
      if (isFolder) this.build(id, join(to, name));
      else fs.writeFileSync(join(to, name), this.contents.get(id) ?? '');
  }

  private noteAll(folder: string): void {
    this.noteFolder(folder);
    for (const { name, ...entry } of fs.readdirSync(folder, { withFileTypes: true }).map(named))
      if (entry.isFolder) this.noteAll(join(folder, name));
      else this.noteFile(join(folder, name));
  }

  private noteFolder(path: string): void {
    this.held.push(fs.openSync(path, 'r'));
    const entries = fs.readdirSync(path, { withFileTypes: true }).map(named);
    const noted = entries.map(
      ({ name, isFolder }) => [name, { id: idOf(join(path, name)), isFolder }] as const,
    );
    this.names.set(idOf(path), new Map(noted));
  }

  private noteFile(path: string): void {
    const id = idOf(path);
    const link = join(this.kept, id);
    if (!fs.existsSync(link)) fs.linkSync(path, link);
    this.contents.set(id, fs.readFileSync(path));
  }

  private note(path: string): void {
    if (!path.startsWith(this.root)) return;
    if (fs.statSync(path).isDirectory()) this.noteFolder(path);
    else this.noteFile(path);
    this.flushed.push(path.slice(this.root.length + 1));
    this.onFlush();
  }

  /** Flushes by handle, by number with a callback, and by number at once; numbers are known by how they were opened. */
  private listen(): void {
    const { promises } = fs;
    const [open, openSync, fsync, fsyncSync] = [promises.open, fs.openSync, fs.fsync, fs.fsyncSync];
    promises.open = async (...args: Parameters<typeof open>) => {
      const handle = await open(...args);
      const sync = handle.sync.bind(handle);
      handle.sync = async () => {
        await sync();
        this.note(String(args[0]));
      };
      return handle;
    };
    fs.openSync = (...args: Parameters<typeof openSync>) => {
      const fd = openSync(...args);
      this.paths.set(fd, String(args[0]));
      return fd;
    };
    fs.fsyncSync = (fd) => {
      fsyncSync(fd);
      this.note(this.paths.get(fd) ?? '');
    };
    fs.fsync = ((fd: number, done: (error: Error | null) => void) => {
      fsync(fd, (error) => {
        this.note(this.paths.get(fd) ?? '');
        done(error);
      });
    }) as typeof fs.fsync;
    syncBuiltinESMExports();
    this.undo = [
      () => Object.assign(promises, { open }),
      () => Object.assign(fs, { openSync, fsync, fsyncSync }),
    ];
  }
}

interface Entry {
  readonly id: string;
  readonly isFolder: boolean;
}

function named(entry: fs.Dirent) {
  return { name: entry.name, isFolder: entry.isDirectory() };
}

function idOf(path: string): string {
  return String(fs.lstatSync(path).ino);
}
