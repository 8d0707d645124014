import { signal } from '@preact/signals';
import { counted } from '../../server/engine/words/count.ts';
import type { ArchivePlan, ArchiveResult } from '../../server/http/schemas.ts';
import { awaitJob, discardUpload, planArchive, startArchive, upload } from '../api.ts';
import { importFiles } from './importing.ts';
import { refreshSettings } from './keptSettings.ts';
import { messageOf, notify } from './notices.ts';
import { goToTake } from './session.ts';
import { refreshWorkspace } from './workspace.ts';

/** A zip of takes on its way in. */
interface Receiving {
  readonly name: string;
  readonly stage: 'sending' | 'looking' | 'ready' | 'storing' | 'failed';
  /** 0 to 1, while it is sent. */
  readonly progress: number;
  readonly uploadId: string | null;
  readonly plan: ArchivePlan | null;
  readonly error: string | null;
}

/** null where none is. */
export const receiving = signal<Receiving | null>(null);
let abort = new AbortController();

const isZip = ({ name }: File): boolean => /\.zip$/i.test(name);

/** Brings in files that were dropped or chosen: a zip of takes is looked at first, anything else is read as a log. */
export function bringIn(files: readonly File[]): void {
  const [zip, ...more] = files.filter(isZip);
  if (zip) void receive(zip);
  for (const { name } of more) notify('error', `${name}: one zip at a time. Drop it again after the first.`);
  importFiles(files.filter((file) => !isZip(file)));
}

async function receive(file: File): Promise<void> {
  if (receiving.peek() !== null) {
    notify('error', `${file.name}: another zip is being looked at. Drop it again after that one.`);
    return;
  }
  abort = new AbortController();
  const { signal: until } = abort;
  receiving.value = {
    name: file.name,
    stage: 'sending',
    progress: 0,
    uploadId: null,
    plan: null,
    error: null,
  };
  await told(async () => {
    const { uploadId } = await upload(file, (progress) => change({ progress }), until);
    change({ stage: 'looking', uploadId });
    const plan = await planArchive(uploadId);
    if (!until.aborted) change({ stage: 'ready', plan });
  });
}

/** Brings in what was looked at. */
export async function acceptArchive(): Promise<void> {
  const now = receiving.peek();
  if (now?.stage !== 'ready' || now.uploadId === null) return;
  const { uploadId, plan } = now;
  change({ stage: 'storing' });
  await told(async () => {
    const { jobId } = await startArchive(uploadId);
    const { takeIds } = (await awaitJob(jobId, () => {}, new AbortController().signal)) as ArchiveResult;
    receiving.value = null;
    const settings = plan?.settings.filter(({ does }) => does === 'new').length ?? 0;
    const came = [
      counted(takeIds.length, 'take'),
      ...(settings > 0 ? [counted(settings, 'kept setting')] : []),
    ];
    notify('fact', `${came.join(' and ')} came in.`);
    await refreshWorkspace();
    void refreshSettings();
    if (takeIds[0] !== undefined) goToTake(takeIds[0]);
  });
  // Takes before the one that failed are in by then.
  if (receiving.peek()?.stage === 'failed') await refreshWorkspace();
}

/** Leaves the zip; what was sent of it goes again. While it is being stored there is no way back. */
export function leaveArchive(): void {
  const now = receiving.peek();
  if (now === null || now.stage === 'storing') return;
  abort.abort();
  receiving.value = null;
  if (now.uploadId !== null) void discardUpload(now.uploadId).catch(() => {});
}

function change(what: Partial<Receiving>): void {
  const now = receiving.peek();
  if (now !== null) receiving.value = { ...now, ...what };
}

async function told(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (!abort.signal.aborted) change({ stage: 'failed', error: messageOf(error) });
  }
}
