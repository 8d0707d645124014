import { signal } from '@preact/signals';
import type { NewTakeResult, Overrides, Preview, UploadBody } from '../../server/http/schemas.ts';
import { awaitJob, discardUpload, startPreview, startTake, upload } from '../api.ts';
import { messageOf, notify } from './notices.ts';
import { goToTake } from './session.ts';
import { refreshWorkspace } from './workspace.ts';

/** One take on its way in: its files, how they are read, and how far the work is. */
export interface Import {
  readonly uploads: readonly UploadBody[];
  readonly stage: 'uploading' | 'reading' | 'ready' | 'storing' | 'failed';
  readonly progress: number;
  readonly overrides: Overrides;
  readonly preview: Preview | null;
  readonly error: string | null;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  /** How many files wait behind this one. */
  readonly waiting: number;
  readonly fileName: string;
}

export const importing = signal<Import | null>(null);

const queue: File[] = [];
let abort = new AbortController();

/** Starts to bring files in, one take after another. */
export function importFiles(files: readonly File[]): void {
  if (files.length === 0) return;
  const isIdle = importing.peek() === null;
  queue.push(...files);
  if (isIdle) void next();
  else change({ waiting: queue.length });
}

/** Leaves the take that is being looked at; its bytes on the server go too. */
export async function cancelImport(): Promise<void> {
  abort.abort();
  const left = importing.peek();
  importing.value = null;
  await Promise.all((left?.uploads ?? []).map((one) => discardUpload(one.uploadId).catch(() => {})));
  if (queue.length > 0) await next();
}

/** Reads the files again with something stated by the user. */
export async function restate(overrides: Overrides): Promise<void> {
  change({ overrides });
  await read();
}

export function describeImport(words: { title?: string; performer?: string; drill?: string }): void {
  change(words);
}

/** Stores the take as previewed, and opens it. */
export async function storeImport(): Promise<void> {
  const now = importing.peek();
  if (!now?.preview) return;
  await guarded(async (signal) => {
    change({ stage: 'storing', progress: 0 });
    const { title, performer, drill, uploads } = now;
    const body = {
      uploadIds: uploads.map((one) => one.uploadId),
      mapping: now.preview!.mapping,
      title,
      performer,
      drill,
    };
    const { jobId } = await startTake(body);
    const { takeId } = (await awaitJob(jobId, (progress) => change({ progress }), signal)) as NewTakeResult;
    importing.value = null;
    await refreshWorkspace();
    notify('fact', `Added “${title}”.`);
    goToTake(takeId);
    if (queue.length > 0) await next();
  });
}

async function next(): Promise<void> {
  const file = queue.shift();
  if (!file) return;
  abort = new AbortController();
  importing.value = {
    uploads: [],
    stage: 'uploading',
    progress: 0,
    overrides: {},
    preview: null,
    error: null,
    title: titleFrom(file.name),
    performer: importing.peek()?.performer ?? '',
    drill: '',
    waiting: queue.length,
    fileName: file.name,
  };
  await guarded(async (signal) => {
    await add(file, signal);
    await readNow(signal);
    await joinNext(signal);
  });
}

/** A file that lacks half of the motion may belong to the one that waits behind it: try the two as one take. */
async function joinNext(signal: AbortSignal): Promise<void> {
  const alone = importing.peek();
  if (!alone?.preview || alone.preview.needs.length === 0 || queue.length === 0) return;
  const second = queue[0]!;
  await add(second, signal);
  await readNow(signal);
  if (importing.peek()?.preview?.needs.length === 0) {
    queue.shift();
    change({ waiting: queue.length, fileName: `${alone.fileName} and ${second.name}` });
    return;
  }
  const unrelated = importing.peek()?.uploads.at(-1);
  change({ uploads: alone.uploads, preview: alone.preview });
  if (unrelated) await discardUpload(unrelated.uploadId).catch(() => {});
}

async function add(file: File, signal: AbortSignal): Promise<void> {
  change({ stage: 'uploading', progress: 0 });
  const sent = await upload(file, (progress) => change({ progress }), signal);
  change({ uploads: [...(importing.peek()?.uploads ?? []), sent] });
}

async function read(): Promise<void> {
  abort.abort();
  abort = new AbortController();
  await guarded(readNow);
}

async function readNow(signal: AbortSignal): Promise<void> {
  const now = importing.peek();
  if (!now) return;
  change({ stage: 'reading', progress: 0, error: null });
  const { jobId } = await startPreview({
    uploadIds: now.uploads.map((one) => one.uploadId),
    overrides: now.overrides,
  });
  const preview = (await awaitJob(jobId, (progress) => change({ progress }), signal)) as Preview;
  change({ stage: 'ready', preview });
}

/** Runs work that the user may stop; what goes wrong is shown in the dialog. */
async function guarded(work: (signal: AbortSignal) => Promise<void>): Promise<void> {
  const { signal } = abort;
  try {
    await work(signal);
  } catch (error) {
    if (signal.aborted) return;
    if (importing.peek()) change({ stage: 'failed', error: messageOf(error) });
    else notify('error', messageOf(error));
  }
}

function change(part: Partial<Import>): void {
  const now = importing.peek();
  if (now) importing.value = { ...now, ...part };
}

function titleFrom(fileName: string): string {
  const words = fileName
    .replace(/\.[a-z0-9]+$/i, '')
    .replace(/[_-]+/g, ' ')
    .trim();
  return words === '' ? 'Untitled take' : words[0]!.toUpperCase() + words.slice(1);
}
