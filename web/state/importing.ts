import type {
  NewTakeResult,
  Overrides,
  RereadResult,
  TakeDocument,
  UploadPreview,
} from '../../server/http/schemas.ts';
import { ApiError, awaitJob, forgetMapping, startReread, startTake, startTakePreview } from '../api.ts';
import { discardSent, forgetSent, forOrder, previewFiles, sendOnce } from './importFiles.ts';
import {
  adopt,
  beginImport,
  beginReread,
  change,
  importing,
  setWaiting,
  toApply,
  waitingFiles,
} from './importState.ts';
import { joinHalf } from './joinHalf.ts';
import { messageOf, notify } from './notices.ts';
import { goToTake } from './session.ts';
import { startAnew } from './startAnew.ts';
import { refreshWorkspace } from './workspace.ts';

let abort = new AbortController();

/** Starts to bring files in, one take after another. Files that complete the take that is open join it. */
export function importFiles(files: readonly File[]): void {
  if (files.length === 0) return;
  const now = importing.peek();
  setWaiting([...waitingFiles(), ...files]);
  if (now === null) void next();
  else if (now.stage === 'ready' && now.take === null) void guarded(joinHalf);
}

/** Leaves the take that is being looked at; its bytes on the server go too. */
export async function cancelImport(): Promise<void> {
  abort.abort();
  const left = importing.peek();
  importing.value = null;
  if (left) await discardSent(left.files);
  if (waitingFiles().length > 0) await next();
}

/** Opens a stored take's columns again, as they are read now. */
export async function reopenColumns(document: TakeDocument): Promise<void> {
  if (importing.peek() !== null) return;
  abort = new AbortController();
  beginReread(document);
  await guarded((signal) => readStored(document.id, undefined, signal));
}

/** Reads the files again with something stated by the user. */
export async function restate(overrides: Overrides): Promise<void> {
  change({ overrides, wrongRate: null, labelsLost: null });
  await read();
}

/** Notes a rate that cannot be one: nothing is asked of the server until it is mended. */
export function holdRate(text: string): void {
  stopReading();
  change({ wrongRate: text, ...(importing.peek()?.reading ? { stage: 'ready', error: null } : {}) });
}

/** Goes back to the files and statements of the last reading that went well. */
export function backToReading(): void {
  const now = importing.peek();
  if (!now?.reading) return;
  stopReading();
  const { files, overrides } = now.reading;
  setWaiting([...now.files.filter((file) => !files.includes(file)), ...waitingFiles()]);
  change({ files, overrides, stage: 'ready', error: null, wrongRate: null });
}

/** Tries once more what failed. */
export const retryImport = (): Promise<void> => read();

/** Reads this take by the guess alone; what is remembered stays for the next. */
export async function useGuess(): Promise<void> {
  change({ memory: 'ignored' });
  await restate({});
}

/** Applies what is remembered of this shape again. */
export async function useRemembered(): Promise<void> {
  change({ memory: 'apply' });
  await restate({});
}

/** Forgets what is remembered of this shape; this take is read by the guess. */
export async function forgetRemembered(id: string): Promise<void> {
  try {
    await forgetMapping(id);
    await useGuess();
  } catch (error) {
    notify('error', messageOf(error));
  }
}

/** Makes a waiting file part of this take. */
export async function joinWaiting(file: File): Promise<void> {
  const now = importing.peek();
  if (!now) return;
  setWaiting(waitingFiles().filter((one) => one !== file));
  change({ files: [...now.files, file], memory: toApply(now) });
  await read();
}

/** Takes a file out of this take again: it waits for its own turn. */
export async function takeOut(file: File): Promise<void> {
  const now = importing.peek();
  if (!now || now.files.length < 2) return;
  const files = now.files.filter((one) => one !== file);
  change({
    files,
    overrides: forOrder(now.overrides, now.files, files),
    memory: toApply(now),
    joinNote: null,
  });
  await read(false);
  setWaiting([file, ...waitingFiles()]);
}

export function describeImport(words: { title?: string; performer?: string; drill?: string }): void {
  change(words);
}

/**
 * Reads the stored take as previewed. Where labels would go, that is told first, and done once the user says so.
 * The page then starts anew: what it computed, and what undo would bring back, is of the reading before.
 */
export async function storeReread(dropsLabels: boolean): Promise<void> {
  const now = importing.peek();
  if (!now?.reading || now.stage !== 'ready' || now.take === null) return;
  const { take, title } = now;
  const { mapping, corrections } = now.reading.preview;
  await guarded(async (signal) => {
    change({ stage: 'storing', progress: 0, labelsLost: null });
    const { jobId } = await startReread(take.id, {
      revision: take.revision,
      mapping,
      dropsLabels,
      corrections,
    });
    const result = (await awaitJob(jobId, (progress) => change({ progress }), signal)) as RereadResult;
    if (!result.isStored) return change({ stage: 'ready', labelsLost: result.leftOut });
    const labels = result.leftOut === null ? 'Its labels stayed, each at its moment.' : result.leftOut;
    const memory =
      result.notRemembered === null ? '' : ` Not remembered for the next log: ${result.notRemembered}`;
    startAnew(`Read “${title}” again. ${labels}${memory}`);
  });
}

/** Stores the take as previewed, and opens it. */
export async function storeImport(): Promise<void> {
  const now = importing.peek();
  if (!now?.reading || now.stage !== 'ready') return;
  const { preview } = now.reading;
  await guarded(async (signal) => {
    change({ stage: 'storing', progress: 0 });
    const { title, performer, drill, files } = now;
    const uploads = await Promise.all(files.map((file) => sendOnce(file, () => {}, signal)));
    const isCorrected = Object.keys(preview.corrections).length > 0;
    const { jobId } = await startTake({
      uploadIds: uploads.map((one) => one.uploadId),
      mapping: preview.mapping,
      title,
      performer,
      drill,
      ...(isCorrected || now.memory !== 'ignored' ? { corrections: preview.corrections } : {}),
    });
    const result = (await awaitJob(jobId, (progress) => change({ progress }), signal)) as NewTakeResult;
    forgetSent(files);
    importing.value = null;
    await refreshWorkspace();
    notify('fact', `Added “${title}”.`);
    if (result.notRemembered !== null)
      notify('error', `Your corrections are not remembered for the next log: ${result.notRemembered}`);
    goToTake(result.takeId);
    if (waitingFiles().length > 0) await next();
  });
}

async function next(): Promise<void> {
  const [file, ...rest] = waitingFiles();
  if (!file) return;
  abort = new AbortController();
  setWaiting(rest);
  beginImport(file);
  await guarded((signal) => readNow(signal));
}

async function read(joins = true): Promise<void> {
  stopReading();
  await guarded((signal) => readNow(signal, joins));
}

function stopReading(): void {
  abort.abort();
  abort = new AbortController();
}

async function readNow(signal: AbortSignal, joins = true): Promise<void> {
  const now = importing.peek();
  if (!now) return;
  const { take, files, overrides, memory } = now;
  if (take !== null) return readStored(take.id, now.reading ? overrides : undefined, signal);
  const onProgress = (progress: number): void => change({ progress });
  change({ stage: 'uploading', progress: 0, error: null });
  const uploads = [];
  for (const file of files) uploads.push(await sendOnce(file, onProgress, signal));
  change({ stage: 'reading', progress: 0 });
  adopt(files, await previewFiles(uploads, overrides, memory === 'apply', onProgress, signal), signal);
  if (joins) await joinHalf(signal);
}

/** @param overrides  undefined for the take as it is read now */
async function readStored(id: string, overrides: Overrides | undefined, signal: AbortSignal): Promise<void> {
  change({ stage: 'reading', progress: 0, error: null });
  const { jobId } = await startTakePreview(id, overrides === undefined ? {} : { overrides });
  const preview = await awaitJob(jobId, (progress) => change({ progress }), signal);
  adopt([], preview as UploadPreview, signal);
}

/** Runs work that the user may stop; what goes wrong is shown in the dialog. */
async function guarded(work: (signal: AbortSignal) => Promise<void>): Promise<void> {
  const { signal } = abort;
  try {
    await work(signal);
  } catch (error) {
    if (signal.aborted) return;
    const code = error instanceof ApiError ? error.code : 'UNKNOWN';
    change({ stage: 'failed', error: { code, message: messageOf(error) } });
  }
}
