import { effect, signal } from '@preact/signals';
import type { Labels } from '../../server/engine/labels/labels.ts';
import { ApiError, putCandidates } from '../api.ts';
import { documents } from '../takes/documents.ts';
import { openConflict } from './conflict.ts';
import type { Work } from './model.ts';
import { messageOf, notify } from './notices.ts';
import { documentSaved } from './openTake.ts';
import { dirtyLabels, isDirty, savedWork } from './savedWork.ts';
import { bothCandidates, pageWork } from './store.ts';

export const saveState = signal<'saved' | 'saving' | 'failed'>('saved');

/** A drag is saved once it rests, not at every step. */
const DELAY_MS = 400;
let timer: ReturnType<typeof setTimeout> | undefined;
let running = false;

/** Starts to keep the server's copy equal to the page's work. Call once, when the candidates are loaded. */
export function startSaving(candidatesRevision: number): void {
  savedWork.candidates = bothCandidates.peek();
  savedWork.candidatesRevision = candidatesRevision;
  effect(() => {
    if (isDirty(pageWork.value)) plan();
  });
  addEventListener('beforeunload', (event) => {
    if (isDirty(pageWork.peek())) event.preventDefault();
  });
}

function plan(): void {
  saveState.value = 'saving';
  clearTimeout(timer);
  timer = setTimeout(() => void save(), DELAY_MS);
}

/** As after a change: for work that is settled but may be none. */
export const saveSoon = plan;

/** Does not wait for the work to rest: for what comes before a step that would leave it behind. */
export async function saveAtOnce(): Promise<void> {
  clearTimeout(timer);
  if (isDirty(pageWork.peek())) await save();
}

/** Whether all work is saved, once nothing of it is on its way any more. */
export async function saveAll(): Promise<boolean> {
  await saveAtOnce();
  return new Promise((resolve) => {
    const stop = effect(() => {
      const now = saveState.value;
      if (now === 'saving') return;
      resolve(now === 'saved');
      queueMicrotask(() => stop());
    });
  });
}

async function save(): Promise<void> {
  if (running) return;
  running = true;
  let takeId: string | null = null;
  try {
    const work = pageWork.peek();
    if (work.candidates !== savedWork.candidates) await saveCandidates(work.candidates);
    for (const [id, labels] of dirtyLabels(work)) {
      takeId = id;
      await saveLabels(id, labels);
    }
    saveState.value = 'saved';
  } catch (error) {
    saveState.value = 'failed';
    if (error instanceof ApiError && error.status === 409) {
      const what = takeId === null ? 'the candidates' : `the labels of “${documents.known(takeId)!.title}”`;
      const text = `Not saved: ${what} were changed elsewhere meanwhile, perhaps in another tab.`;
      notify('error', text, { label: 'See what differs', run: () => void lookAt(takeId) });
    } else notify('error', `Not saved: ${messageOf(error)}`, { label: 'Try again', run: plan });
    return;
  } finally {
    running = false;
  }
  if (isDirty(pageWork.peek())) plan();
}

/** Reads what another tab has made of it, to be looked at. @param takeId  whose labels; null for the candidates. */
async function lookAt(takeId: string | null): Promise<void> {
  try {
    await openConflict(takeId);
  } catch (error) {
    notify('error', messageOf(error), { label: 'Try again', run: () => void lookAt(takeId) });
  }
}

async function saveCandidates(candidates: Work['candidates']): Promise<void> {
  const document = await putCandidates(savedWork.candidatesRevision, candidates.a, candidates.b);
  savedWork.candidates = candidates;
  savedWork.candidatesRevision = document.revision;
}

/** From the revision that the labels go on from: whatever somebody else made of the take since is not overwritten. */
async function saveLabels(takeId: string, labels: Labels): Promise<void> {
  const document = await documents.patch(takeId, savedWork.labels.get(takeId)!.revision, { labels });
  savedWork.labels.set(takeId, { labels, revision: document.revision });
  documentSaved(document);
}
