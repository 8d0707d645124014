import { computed, signal } from '@preact/signals';
import type { RecordingBody, RecordingsBody } from '../../server/http/schemas.ts';
import { deleteRecording, fetchRecordingLog, fetchRecordings, stopRecording } from '../api.ts';
import { importFiles } from './importing.ts';
import { messageOf, notify } from './notices.ts';
import { goToTake } from './session.ts';
import { refreshWorkspace } from './workspace.ts';

/** What is being recorded and what waits to become a take, as the server last told it. */
export const recordings = signal<RecordingsBody>({ recordings: [], kept: [] });

export const runningRecording = computed<RecordingBody | null>(
  () => recordings.value.recordings.findLast(({ state }) => state === 'running') ?? null,
);

const LOOK_MS = 1000;
/** After an answer that did not come. */
const LATER_MS = 5000;

/** Asks for the recordings again and again, as long as the page can be seen. */
export async function followRecordings(): Promise<never> {
  let isFirst = true;
  for (;;) {
    const isSeen = document.visibilityState === 'visible';
    const wait = !isSeen || (await lookAgain(isFirst)) ? LOOK_MS : LATER_MS;
    isFirst &&= !isSeen;
    await new Promise((resolve) => setTimeout(resolve, wait));
  }
}

/** False where the server does not answer; whoever does something will hear of that. */
async function lookAgain(isFirst: boolean): Promise<boolean> {
  let found: RecordingsBody;
  try {
    found = await fetchRecordings();
  } catch {
    return false;
  }
  const before = recordings.peek();
  if (JSON.stringify(found) === JSON.stringify(before)) return true;
  recordings.value = found;
  const isKnown = (id: string) => before.kept.some(({ recordingId }) => recordingId === id);
  const fresh = isFirst ? [] : found.kept.filter(({ recordingId }) => !isKnown(recordingId));
  if (fresh.length === 0) return true;
  await refreshWorkspace();
  for (const { takeId, title } of fresh)
    notify('fact', `“${title}” is a take now.`, { label: 'Open it', run: () => goToTake(takeId) });
  return true;
}

/** How to end a recording that this page itself reads from a port, by its id. */
export const endings = new Map<string, () => void>();

/** Asks whoever records to end; what came is kept. */
export async function stopAndKeep(id: string): Promise<void> {
  const own = endings.get(id);
  if (own) return own();
  await stopRecording(id).catch((error) => notify('error', messageOf(error)));
}

/** Opens the dialog of a dropped file with a recording's log, to answer what it leaves open. */
export async function answerFor({ id, title }: RecordingBody): Promise<void> {
  try {
    importFiles([new File([await fetchRecordingLog(id)], `${title}.csv`)]);
  } catch (error) {
    notify('error', messageOf(error));
  }
}

export async function discardRecording(id: string): Promise<void> {
  await deleteRecording(id).catch((error) => notify('error', messageOf(error)));
  await lookAgain(false);
}
