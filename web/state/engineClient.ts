import type { SmoothingCost } from '../../server/engine/check/smoothingCost.ts';
import type { CompareReply, CompareRequest, SpeedRequest, SpeedTrace } from '../compare/compareTake.ts';
import type { Tally } from '../compare/tally.ts';
import type {
  AnyRequest,
  BenchRequest,
  CheckedTake,
  CheckRequest,
  FitnessRequest,
  Opened,
  OpenRequest,
  TallyRequest,
  WorkerProgress,
  WorkerReply,
} from '../engineWorker.ts';

interface Waiting {
  resolve(value: unknown): void;
  reject(error: Error): void;
  readonly thread: Thread;
  readonly tell: ((part: number) => void) | undefined;
}

/** What takes long has a thread of its own: a take opens, and a bench answers, while another is still being checked. */
type Thread = 'prompt' | 'patient' | 'background';

const waiting = new Map<number, Waiting>();
const workers = new Map<Thread, Worker>();
let lastId = 0;

export const computeTake = (request: OpenRequest): Promise<Opened> => ask(request) as Promise<Opened>;
export const tallyTake = (request: TallyRequest): Promise<Tally> => ask(request) as Promise<Tally>;
/** @param tell  is told what part of it is done, 0 to 1 */
export const checkTake = (request: CheckRequest, tell: (part: number) => void): Promise<CheckedTake> =>
  ask(request, 'patient', tell) as Promise<CheckedTake>;
/** What speaks against choosing on a take that is not open: checked behind all else. */
export const fitnessOfTake = (request: FitnessRequest): Promise<string | null> =>
  ask(request, 'background') as Promise<string | null>;
export const benchTake = (request: BenchRequest): Promise<SmoothingCost[]> =>
  ask(request) as Promise<SmoothingCost[]>;

export const compareTake = (request: CompareRequest): Promise<CompareReply> =>
  ask(request) as Promise<CompareReply>;
export const speedOfTake = (request: SpeedRequest): Promise<SpeedTrace> =>
  ask(request) as Promise<SpeedTrace>;

/** Starts the thread that opens takes, so that it is there when the first one is to be opened. */
export function startEngine(): void {
  workerFor('prompt');
}

/** Ends what the patient thread is at: nobody waits for it any longer. */
export function stopChecks(): void {
  workers.get('patient')?.terminate();
  workers.delete('patient');
  for (const [id, who] of waiting) {
    if (who.thread !== 'patient') continue;
    waiting.delete(id);
    who.reject(new Error('stopped'));
  }
}

function ask(
  request: AnyRequest,
  thread: Thread = 'prompt',
  tell?: (part: number) => void,
): Promise<unknown> {
  const id = ++lastId;
  return new Promise((resolve, reject) => {
    waiting.set(id, { resolve, reject, thread, tell });
    workerFor(thread).postMessage({ ...request, id });
  });
}

function workerFor(thread: Thread): Worker {
  const running = workers.get(thread);
  if (running) return running;
  const worker = new Worker(new URL('../engineWorker.ts', import.meta.url), { type: 'module' });
  worker.onmessage = (event: MessageEvent<WorkerReply | WorkerProgress>) => {
    const reply = event.data;
    const who = waiting.get(reply.id);
    if ('part' in reply) return who?.tell?.(reply.part);
    waiting.delete(reply.id);
    if (reply.ok) who?.resolve(reply.value);
    else who?.reject(new Error(reply.message));
  };
  worker.onerror = (event) => {
    for (const who of waiting.values()) who.reject(new Error(event.message || 'a thread stopped'));
    waiting.clear();
  };
  workers.set(thread, worker);
  return worker;
}
