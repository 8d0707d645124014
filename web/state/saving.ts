import { effect, signal } from '@preact/signals';
import type { Labels } from '../../server/engine/labels/labels.ts';
import { ApiError, fetchTake, fetchWorkspace, patchTake, putCandidates } from '../api.ts';
import type { Work } from './model.ts';
import { messageOf, notify } from './notices.ts';
import { documentSaved, openTake } from './openTake.ts';
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
  try {
    const work = pageWork.peek();
    if (work.candidates !== savedWork.candidates) await saveCandidates(work.candidates);
    for (const [id, labels] of dirtyLabels(work)) await saveLabels(id, labels);
    saveState.value = 'saved';
  } catch (error) {
    saveState.value = 'failed';
    if (error instanceof ApiError && error.status === 409) {
      const text = 'Not saved: this was changed elsewhere meanwhile, perhaps in another tab.';
      notify('error', text, { label: 'Save mine over it', run: () => void saveOver() });
    } else notify('error', `Not saved: ${messageOf(error)}`, { label: 'Try again', run: plan });
    return;
  } finally {
    running = false;
  }
  if (isDirty(pageWork.peek())) plan();
}

/** Takes the revisions that the server has now for the ones that this page's work goes on from. */
async function saveOver(): Promise<void> {
  try {
    savedWork.candidatesRevision = (await fetchWorkspace()).candidates.revision;
    const open = openTake.peek()?.document;
    if (open) documentSaved({ ...open, revision: (await fetchTake(open.id)).revision });
    plan();
  } catch (error) {
    notify('error', messageOf(error), { label: 'Try again', run: () => void saveOver() });
  }
}

async function saveCandidates(candidates: Work['candidates']): Promise<void> {
  const document = await putCandidates(savedWork.candidatesRevision, candidates.a, candidates.b);
  savedWork.candidates = candidates;
  savedWork.candidatesRevision = document.revision;
}

async function saveLabels(takeId: string, labels: Labels): Promise<void> {
  const open = openTake.peek()?.document;
  const { revision } = open?.id === takeId ? open : await fetchTake(takeId);
  documentSaved(await patchTake(takeId, { revision, labels }));
  savedWork.labels.set(takeId, labels);
}
