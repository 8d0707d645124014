import { createHash } from 'node:crypto';
import { basename } from 'node:path';
import { type FileShape, type RememberedMapping, shapeKey } from '../ingest/ground/remembered.ts';
import type { Overrides } from '../ingest/ground/types.ts';
import { checkOverrides } from '../ingest/preview/overrides.ts';
import { documentText } from './atomicFile.ts';
import { MappingNotFoundError, messageOf } from './errors.ts';
import { SeenFile } from './seenFile.ts';
import type { SerialWork } from './serialWork.ts';
import { checkCalibration } from './takeChange.ts';

/** `mappings.json`. */
interface MappingsDocument {
  readonly format: 1;
  /** The last one set stands last. */
  readonly mappings: readonly RememberedMapping[];
}

/** More shapes of log than anybody owns; beyond it the oldest goes. */
const AT_MOST = 500;

/** What the user corrected when logs were read, one entry for each shape of log. */
export class MappingsStore {
  private readonly file: SeenFile;
  private readonly work: SerialWork;
  private mappings: readonly RememberedMapping[] = [];
  /** Why the file on disk cannot be used; it stays as it is until something new is to be remembered. */
  private unreadable: string | null = null;

  private constructor(path: string, work: SerialWork) {
    this.file = new SeenFile(path);
    this.work = work;
  }

  /** A file that cannot be read keeps nobody from the workspace: see `problems`. */
  static async open(path: string, work: SerialWork): Promise<MappingsStore> {
    const store = new MappingsStore(path, work);
    await store.load();
    return store;
  }

  private async load(): Promise<void> {
    try {
      const text = await this.file.read();
      this.mappings = text === null ? [] : checkedMappings(JSON.parse(text));
      this.unreadable = null;
    } catch (error) {
      this.unreadable = messageOf(error);
    }
  }

  list(): readonly RememberedMapping[] {
    return this.mappings;
  }

  /** What of the file could not be read, in a plain sentence. */
  get problems(): readonly string[] {
    if (this.unreadable === null) return [];
    return [
      `${basename(this.file.path)} cannot be read: ${this.unreadable}. Corrected columns are not remembered from it. Mend it and start again; when you next correct a log it is set aside, not overwritten.`,
    ];
  }

  /** Keeps what was corrected for logs of this shape, in place of what was kept before; nothing corrected: nothing kept. */
  remember(
    shape: readonly FileShape[],
    corrections: Overrides,
    fileName: string,
    savedAt: string,
  ): Promise<void> {
    const id = idOf(shape);
    return this.work.run(this.file.path, async () => {
      await this.takeOver();
      const others = this.mappings.filter((one) => one.id !== id);
      const isEmpty = Object.keys(corrections).length === 0;
      if (isEmpty && others.length === this.mappings.length) return;
      const own = isEmpty ? [] : [{ id, shape, corrections, fileName, savedAt }];
      await this.write([...others, ...own].slice(-AT_MOST));
    });
  }

  /** @throws MappingNotFoundError */
  forget(id: string): Promise<void> {
    return this.work.run(this.file.path, async () => {
      await this.takeOver();
      const others = this.mappings.filter((one) => one.id !== id);
      if (others.length === this.mappings.length)
        throw new MappingNotFoundError('Nothing is remembered under this id (any more).');
      await this.write(others);
    });
  }

  private async write(mappings: readonly RememberedMapping[]): Promise<void> {
    if (this.unreadable !== null) {
      await this.file.setAside();
      this.unreadable = null;
    }
    const document: MappingsDocument = { format: 1, mappings };
    await this.file.write(documentText(document));
    this.mappings = mappings;
  }

  /** What another program has written meanwhile is gone on from: each entry stands by itself. */
  private async takeOver(): Promise<void> {
    if (this.unreadable === null && (await this.file.isChanged())) await this.load();
  }
}

function idOf(shape: readonly FileShape[]): string {
  return createHash('sha256').update(shapeKey(shape)).digest('hex').slice(0, 24);
}

/** @throws Error  saying what is wrong with it */
export function checkedMappings(value: unknown): readonly RememberedMapping[] {
  const document = value as Partial<MappingsDocument> | null;
  if (typeof document !== 'object' || document === null) throw new TypeError('it holds no mappings');
  if (typeof document.format === 'number' && document.format > 1)
    throw new TypeError('a newer version of this program wrote it');
  if (document.format !== 1 || !Array.isArray(document.mappings))
    throw new TypeError('parts of it are missing or of the wrong kind');
  for (const [i, one] of document.mappings.entries()) checkMapping(one, `mappings[${i}]`);
  return document.mappings;
}

function checkMapping(one: RememberedMapping | null, place: string): void {
  const { shape, corrections, fileName, savedAt } = one ?? {};
  if (!Array.isArray(shape) || !shape.every(isShape)) throw new TypeError(`${place}.shape is none`);
  if (one?.id !== idOf(shape)) throw new TypeError(`${place}.id does not fit its shape`);
  if (typeof fileName !== 'string' || Number.isNaN(Date.parse(String(savedAt))))
    throw new TypeError(`${place} does not say for which file it was set, and when`);
  if (typeof corrections !== 'object' || corrections === null || !Object.keys(corrections).length)
    throw new TypeError(`${place}.corrections is missing`);
  const stranger = Object.keys(corrections).find((key) => !Object.hasOwn(KINDS, key));
  if (stranger !== undefined) throw new TypeError(`${place}.corrections.${stranger} is unknown`);
  for (const [key, value] of Object.entries(corrections)) {
    const is = KINDS[key]!;
    if (!is.test(value)) throw new TypeError(`${place}.corrections.${key} is no ${is.word}`);
  }
  try {
    checkOverrides(corrections);
    if (corrections.mount) checkCalibration({ mount: corrections.mount });
  } catch (error) {
    throw new TypeError(`${place}.corrections: ${messageOf(error)}`);
  }
}

interface Kind {
  readonly word: string;
  readonly test: (value: unknown) => boolean;
}

const isRecord = (value: unknown) => typeof value === 'object' && value !== null && !Array.isArray(value);
const NUMBER: Kind = { word: 'number', test: (value) => typeof value === 'number' };
const TEXT: Kind = { word: 'text', test: (value) => typeof value === 'string' };
const RECORD: Kind = { word: 'record', test: isRecord };
const RECORDS: Kind = {
  word: 'list of columns',
  test: (value) => Array.isArray(value) && value.every(isRecord),
};

const KINDS: Readonly<Record<string, Kind>> & Readonly<Record<keyof Overrides, Kind>> = {
  rateHz: NUMBER,
  clock: TEXT,
  timeUnit: TEXT,
  accelUnit: TEXT,
  gyroUnit: TEXT,
  roles: RECORDS,
  reversed: RECORDS,
  mount: RECORD,
};

function isShape(shape: FileShape | null): boolean {
  if (!isRecord(shape)) return false;
  const { delimiter, decimal, columns } = shape as FileShape;
  const isNamed = Array.isArray(columns) && columns.every((name) => typeof name === 'string');
  return (
    typeof delimiter === 'string' && ['.', ','].includes(decimal) && (isNamed || Number.isInteger(columns))
  );
}
