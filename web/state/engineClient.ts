import type { SignalCheck } from '../../server/engine/check/checkSignals.ts';
import type { SmoothingCost } from '../../server/engine/check/smoothingCost.ts';
import type { Motion } from '../../server/engine/motion/motion.ts';
import type {
  BenchRequest,
  CheckRequest,
  OpenRequest,
  Tally,
  TallyRequest,
  WorkerReply,
} from '../engineWorker.ts';

interface Waiting {
  resolve(value: unknown): void;
  reject(error: Error): void;
}

const waiting = new Map<number, Waiting>();
let worker: Worker | null = null;
let lastId = 0;

export const openMotion = (request: OpenRequest): Promise<Motion> => ask(request) as Promise<Motion>;
export const tallyTake = (request: TallyRequest): Promise<Tally> => ask(request) as Promise<Tally>;
export const checkTake = (request: CheckRequest): Promise<SignalCheck> =>
  ask(request) as Promise<SignalCheck>;
export const benchTake = (request: BenchRequest): Promise<SmoothingCost[]> =>
  ask(request) as Promise<SmoothingCost[]>;

function ask(request: OpenRequest | TallyRequest | CheckRequest | BenchRequest): Promise<unknown> {
  const id = ++lastId;
  return new Promise((resolve, reject) => {
    waiting.set(id, { resolve, reject });
    theWorker().postMessage({ ...request, id });
  });
}

function theWorker(): Worker {
  if (worker) return worker;
  worker = new Worker(new URL('../engineWorker.ts', import.meta.url), { type: 'module' });
  worker.onmessage = (event: MessageEvent<WorkerReply>) => {
    const reply = event.data;
    const who = waiting.get(reply.id);
    waiting.delete(reply.id);
    if (reply.ok) who?.resolve(reply.value);
    else who?.reject(new Error(reply.message));
  };
  worker.onerror = (event) => {
    for (const who of waiting.values()) who.reject(new Error(event.message || 'the second thread stopped'));
    waiting.clear();
  };
  return worker;
}
