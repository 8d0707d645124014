import type { SignalCheck } from '../../server/engine/check/checkSignals.ts';
import type { SmoothingCost } from '../../server/engine/check/smoothingCost.ts';
import type { Motion } from '../../server/engine/motion/motion.ts';
import type { CompareReply, CompareRequest, SpeedRequest, SpeedTrace } from '../compare/compareTake.ts';
import type { Tally } from '../compare/tally.ts';
import type {
  AnyRequest,
  BenchRequest,
  CheckRequest,
  OpenRequest,
  TallyRequest,
  WorkerReply,
} from '../engineWorker.ts';

interface Waiting {
  resolve(value: unknown): void;
  reject(error: Error): void;
}

/** What takes long has a thread of its own: a take opens, and a bench answers, while another is still being checked. */
type Thread = 'prompt' | 'patient';

const waiting = new Map<number, Waiting>();
const workers = new Map<Thread, Worker>();
let lastId = 0;

export const openMotion = (request: OpenRequest): Promise<Motion> => ask(request) as Promise<Motion>;
export const tallyTake = (request: TallyRequest): Promise<Tally> => ask(request) as Promise<Tally>;
export const checkTake = (request: CheckRequest): Promise<SignalCheck> =>
  ask(request, 'patient') as Promise<SignalCheck>;
export const benchTake = (request: BenchRequest): Promise<SmoothingCost[]> =>
  ask(request) as Promise<SmoothingCost[]>;

export const compareTake = (request: CompareRequest): Promise<CompareReply> =>
  ask(request) as Promise<CompareReply>;
export const speedOfTake = (request: SpeedRequest): Promise<SpeedTrace> =>
  ask(request) as Promise<SpeedTrace>;

function ask(request: AnyRequest, thread: Thread = 'prompt'): Promise<unknown> {
  const id = ++lastId;
  return new Promise((resolve, reject) => {
    waiting.set(id, { resolve, reject });
    workerFor(thread).postMessage({ ...request, id });
  });
}

function workerFor(thread: Thread): Worker {
  const running = workers.get(thread);
  if (running) return running;
  const worker = new Worker(new URL('../engineWorker.ts', import.meta.url), { type: 'module' });
  worker.onmessage = (event: MessageEvent<WorkerReply>) => {
    const reply = event.data;
    const who = waiting.get(reply.id);
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
