import type { FromWorker, Job, JobValue, ToWorker } from './jobs.ts';

interface Listener {
  onValue(value: JobValue): void;
  onFailed(message: string): void;
}

const listeners = new Map<number, Listener>();
let worker: Worker | null = null;
let lastId = 0;

/** Starts a job on the third thread, with the take `firstId` if it is among its takes. @returns a function that ends it. */
export function startJob(job: Job, firstId: string | null, listener: Listener): () => void {
  const id = ++lastId;
  listeners.set(id, listener);
  send({ type: 'start', id, job, firstId });
  return () => {
    if (listeners.delete(id)) send({ type: 'cancel', id });
  };
}

/** Starts the third thread, so that it is there when the first job is. */
export function startThread(): void {
  worker ??= makeWorker();
}

/** Whether somebody waits for a job: what nobody looks at had better wait too. */
export function areJobsRunning(): boolean {
  return listeners.size > 0;
}

function send(message: ToWorker): void {
  worker ??= makeWorker();
  worker.postMessage(message);
}

function makeWorker(): Worker {
  const made = new Worker(new URL('../sweepWorker.ts', import.meta.url), { type: 'module' });
  made.onmessage = (event: MessageEvent<FromWorker>) => {
    const reply = event.data;
    const listener = listeners.get(reply.id);
    if (reply.type === 'failed' || reply.value.stage === 'done') listeners.delete(reply.id);
    if (reply.type === 'value') listener?.onValue(reply.value);
    else listener?.onFailed(reply.message);
  };
  made.onerror = (event) => {
    const all = [...listeners.values()];
    listeners.clear();
    for (const listener of all) listener.onFailed(event.message || 'the third thread stopped');
  };
  return made;
}
