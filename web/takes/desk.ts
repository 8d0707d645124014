import type { TakeDocument } from '../../server/http/schemas.ts';
import { OFFLINE } from '../api.ts';
import { documents } from './documents.ts';
import { type Answer, type FromThread, type Kind, type Request, Stopped, type ToThread } from './requests.ts';

/** The take that is open comes before the view in sight, and that before what nobody waits for. */
export const URGENCIES = ['open', 'view', 'background'] as const;
export type Urgency = (typeof URGENCIES)[number];

/** Each has a thread of its own, so that a take opens while others are swept, and both while signals are checked. */
type LaneName = 'open' | 'many' | 'checks';

const LANES: Readonly<Record<Kind, LaneName>> = {
  open: 'open',
  blade: 'open',
  bench: 'open',
  speed: 'open',
  tally: 'many',
  compare: 'many',
  judge: 'many',
  evidence: 'many',
  stock: 'many',
  sweep: 'many',
  check: 'checks',
  cause: 'checks',
};

export interface Thread {
  postMessage(message: ToThread): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<FromThread>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

export interface How {
  /** As a function where it changes while the order waits; see `startNext`. */
  readonly urgency: Urgency | (() => Urgency);
  /** Nobody waits for the answer any longer. */
  readonly signal?: AbortSignal;
  /** Is told what part of it is done, 0 to 1. */
  tellPart?(part: number): void;
  /** Is told what has been found so far. */
  tellValue?(value: unknown): void;
}

interface Order extends How {
  readonly id: number;
  readonly takeId: string | null;
  /** Made once the order is next, for it may have to be read what is to be asked; null if nothing is. */
  readonly prepare: () => Promise<Request | null>;
  prepared: Promise<Request | null> | null;
  resolve(value: unknown): void;
  reject(error: Error): void;
}

interface Lane {
  readonly name: LaneName;
  thread: Thread | null;
  running: Order | null;
  waiting: readonly Order[];
  /** Its thread has read a long take. */
  holdsMuch: boolean;
  release: ReturnType<typeof setTimeout> | undefined;
}

/** Work that nobody waits for is begun once nobody has waited for anything this long. */
const QUIET_MS = 600;
/** A thread that has read a long take ends once nothing has been asked of it for so long: only so is its memory given back. */
const RELEASE_MS = 4000;

/** Where all work on takes is asked for: queues by urgency, one for each thread. */
export class Desk {
  private readonly lanes: readonly Lane[] = (['open', 'many', 'checks'] as const).map((name) => ({
    name,
    thread: null,
    running: null,
    waiting: [],
    holdsMuch: false,
    release: undefined,
  }));
  private readonly makeThread: () => Thread;
  private readonly document: (id: string, revision: number) => Promise<TakeDocument>;
  private lastId = 0;
  private lastUrgentMs = Number.NEGATIVE_INFINITY;
  private timer: ReturnType<typeof setTimeout> | undefined;

  /** @param document  of a take that a thread works on. */
  constructor(makeThread: () => Thread, document: Desk['document']) {
    this.makeThread = makeThread;
    this.document = document;
  }

  ask<K extends Kind>(request: Request<K>, how: How): Promise<Answer<K>> {
    const takeId = 'takeId' in request ? (request as { takeId: string }).takeId : null;
    const prepare = async () => request as Request;
    return this.order(LANES[request.kind as Kind], takeId, prepare, how) as Promise<Answer<K>>;
  }

  /** As `ask`, of a take about which something is to be read first; `prepare` gives null if nothing is to be asked then. */
  askOf<K extends Kind>(
    kind: K,
    takeId: string,
    prepare: () => Promise<Request<K> | null>,
    how: How,
  ): Promise<Answer<K> | null> {
    const made = prepare as () => Promise<Request | null>;
    return this.order(LANES[kind], takeId, made, how) as Promise<Answer<K> | null>;
  }

  /** Starts a thread, so that it is there when the first request is. */
  makeReady(kind: Kind): void {
    this.threadOf(this.laneOf(LANES[kind]));
  }

  private order(
    name: LaneName,
    takeId: string | null,
    prepare: Order['prepare'],
    how: How,
  ): Promise<unknown> {
    return new Promise((resolve, reject) => {
      if (how.signal?.aborted) return reject(new Stopped());
      const order: Order = { ...how, id: ++this.lastId, takeId, prepare, prepared: null, resolve, reject };
      const lane = this.laneOf(name);
      lane.waiting = [...lane.waiting, order];
      how.signal?.addEventListener('abort', () => this.drop(lane, order), { once: true });
      this.startNext();
    });
  }

  /** Work under way ends by itself soon, and what it came to is told: only a sweep stops half-way. */
  private drop(lane: Lane, order: Order): void {
    if (lane.running === order && lane.name !== 'checks') {
      lane.thread?.postMessage({ type: 'cancel', id: order.id });
      return;
    }
    if (lane.running === order) endThread(lane);
    lane.waiting = lane.waiting.filter((other) => other !== order);
    order.reject(new Stopped());
    this.startNext();
  }

  /** Starts what is next. To be called by whoever changes how urgent an order is. */
  startNext(): void {
    this.noteUrgent();
    for (const lane of this.lanes) {
      const next = this.nextOf(lane);
      const { running } = lane;
      if (next && running && lane.name === 'checks' && rankOf(next) < rankOf(running)) {
        endThread(lane);
        lane.waiting = [running, ...lane.waiting];
      }
      if (next && lane.running === null) void this.start(lane, next);
    }
  }

  /** The first of the most urgent. */
  private nextOf({ waiting }: Lane): Order | undefined {
    const [next] = [...waiting].sort((a, b) => rankOf(a) - rankOf(b));
    return next && isUrgent(next) ? next : this.isQuiet() ? next : undefined;
  }

  private isQuiet(): boolean {
    return performance.now() - this.lastUrgentMs >= QUIET_MS;
  }

  /** While somebody waits for anything it is not quiet; after that the background has its turn. */
  private noteUrgent(): void {
    const isBusy = this.lanes.some(
      ({ running, waiting }) => (running && isUrgent(running)) || waiting.some(isUrgent),
    );
    if (isBusy) this.lastUrgentMs = performance.now();
    clearTimeout(this.timer);
    if (isBusy || this.isQuiet()) return;
    const leftMs = this.lastUrgentMs + QUIET_MS - performance.now();
    this.timer = setTimeout(() => this.startNext(), leftMs);
  }

  private async start(lane: Lane, order: Order): Promise<void> {
    lane.running = order;
    lane.waiting = lane.waiting.filter((other) => other !== order);
    const isOver = () => lane.running !== order;
    try {
      order.prepared ??= order.prepare();
      const request = await order.prepared;
      if (isOver()) return;
      if (order.signal?.aborted) throw new Stopped();
      if (request === null) return this.end(lane, () => order.resolve(null));
      this.threadOf(lane).postMessage({ type: 'ask', id: order.id, request });
    } catch (error) {
      if (!isOver()) this.end(lane, () => order.reject(asError(error)));
      return;
    }
    const next = this.nextOf(lane);
    if (!next) return;
    next.prepared ??= next.prepare();
    const soon = await next.prepared.catch(() => null);
    if (soon && !isOver() && next.takeId) lane.thread?.postMessage({ type: 'soon', takeId: next.takeId });
  }

  private end(lane: Lane, tell: () => void): void {
    this.noteUrgent();
    lane.running = null;
    tell();
    this.startNext();
    clearTimeout(lane.release);
    if (lane.holdsMuch)
      lane.release = setTimeout(() => {
        if (lane.running === null && lane.waiting.length === 0) endThread(lane);
      }, RELEASE_MS);
  }

  private hear(lane: Lane, news: FromThread): void {
    const order = lane.running;
    if (news.type === 'send for') void this.sendDocument(lane, news);
    else if (order?.id !== news.id) return;
    else if (news.type === 'part') order.tellPart?.(news.part);
    else if (news.type === 'value') order.tellValue?.(news.value);
    else if (news.type === 'done') {
      lane.holdsMuch ||= news.holdsMuch ?? false;
      this.end(lane, () => order.resolve(news.value));
    } else {
      const error = news.type === 'failed' ? new Error(news.message) : new Stopped();
      this.end(lane, () => order.reject(error));
    }
  }

  private async sendDocument(
    { thread }: Lane,
    { sentFor, takeId, revision }: FromThread & { type: 'send for' },
  ): Promise<void> {
    const document = await this.document(takeId, revision).catch((error: unknown) => asError(error).message);
    thread?.postMessage({ type: 'document', sentFor, document });
  }

  private laneOf(name: LaneName): Lane {
    return this.lanes.find((lane) => lane.name === name)!;
  }

  private threadOf(lane: Lane): Thread {
    if (lane.thread) return lane.thread;
    const made = this.makeThread();
    lane.thread = made;
    made.onmessage = ({ data }) => {
      if (lane.thread === made) this.hear(lane, data);
    };
    made.onerror = ({ message }) => {
      if (lane.thread !== made) return;
      lane.thread = null;
      const { running } = lane;
      // Without a word of its own, its script could not be loaded: the server is gone.
      if (running) this.end(lane, () => running.reject(new Error(message || OFFLINE)));
    };
    return made;
  }
}

/** A check is one long computation, which hears of nothing: it ends with its thread. */
function endThread(lane: Lane): void {
  lane.thread?.terminate();
  lane.thread = null;
  lane.running = null;
  lane.holdsMuch = false;
}

function rankOf({ urgency }: Order): number {
  return URGENCIES.indexOf(typeof urgency === 'string' ? urgency : urgency());
}

function isUrgent(order: Order): boolean {
  return rankOf(order) < URGENCIES.indexOf('background');
}

function asError(error: unknown): Error {
  return error instanceof Error ? error : new Error(String(error));
}

export const desk = new Desk(
  () => new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' }) as unknown as Thread,
  (id, revision) => documents.read(id, revision),
);
