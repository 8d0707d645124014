import { signal } from '@preact/signals';
import type { Overrides, TakeDocument, UploadPreview } from '../../server/http/schemas.ts';

/** A preview, and the files and statements of which it tells. */
export interface Reading {
  readonly files: readonly File[];
  readonly overrides: Overrides;
  readonly preview: UploadPreview;
}

/** One take on its way in: its files, how they are read, and how far the work is. */
export interface Import {
  /** A stored take that is read again from its own sources; null for files that are to become one. */
  readonly take: Pick<TakeDocument, 'id' | 'revision'> | null;
  /** What of its labels would go if it were read as stated; null where that is not known, or none would. */
  readonly labelsLost: string | null;
  readonly files: readonly File[];
  readonly stage: 'uploading' | 'reading' | 'ready' | 'storing' | 'failed';
  readonly progress: number;
  readonly overrides: Overrides;
  /**
   * What is remembered of this shape of log: to be applied by the next preview, taken over into `overrides` (where the
   * user may change it), or left aside for this take.
   */
  readonly memory: 'apply' | 'adopted' | 'ignored';
  /** The last one that went well. Unless the stage is `ready`, it is not of what is stated now. */
  readonly reading: Reading | null;
  /** What stands in the field of the sample rate, while it is no rate. */
  readonly wrongRate: string | null;
  readonly error: { readonly code: string; readonly message: string } | null;
  /** What became of a file that was dropped to complete this take. */
  readonly joinNote: string | null;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  /** The files behind this take. */
  readonly waiting: readonly File[];
}

export const importing = signal<Import | null>(null);

let queue: readonly File[] = [];

export const waitingFiles = (): readonly File[] => queue;

/** Sets the files that wait for their turn. */
export function setWaiting(files: readonly File[]): void {
  queue = files;
  change({ waiting: files });
}

export function change(part: Partial<Import>): void {
  const now = importing.peek();
  if (now) importing.value = { ...now, ...part };
}

export function beginImport(file: File): void {
  importing.value = { ...BLANK, files: [file], title: titleFrom(file.name), waiting: queue };
}

/** Opens the dialog on a take that is stored already. */
export function beginReread({ id, revision, title }: TakeDocument): void {
  importing.value = {
    ...BLANK,
    take: { id, revision },
    stage: 'reading',
    memory: 'ignored',
    title,
    waiting: queue,
  };
}

const BLANK: Omit<Import, 'title' | 'waiting'> = {
  take: null,
  labelsLost: null,
  files: [],
  stage: 'uploading',
  progress: 0,
  overrides: {},
  memory: 'apply',
  reading: null,
  wrongRate: null,
  error: null,
  joinNote: null,
  performer: '',
  drill: '',
};

/** Takes a preview over: with what it states, remembered things included. */
export function adopt(files: readonly File[], preview: UploadPreview, signal: AbortSignal): void {
  const now = importing.peek();
  if (!now || signal.aborted) return;
  const overrides = preview.stated;
  const memory = now.memory === 'apply' ? 'adopted' : now.memory;
  change({ stage: 'ready', files, overrides, memory, reading: { files, overrides, preview } });
}

/** Other files are another shape of log: what is remembered of that counts, unless the user wants the guess. */
export function toApply({ memory }: Import): Import['memory'] {
  return memory === 'ignored' ? 'ignored' : 'apply';
}

function titleFrom(fileName: string): string {
  const words = fileName
    .replace(/\.[a-z0-9]+$/i, '')
    .replace(/[_-]+/g, ' ')
    .trim();
  return words === '' ? 'Untitled take' : words[0]!.toUpperCase() + words.slice(1);
}
