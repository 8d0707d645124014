import { OFFLINE } from '../api.ts';
import type { JobTake } from '../sweep/jobs.ts';
import type { Piece } from '../sweep/piece.ts';
import {
  emptySeat,
  endThread,
  type How,
  isUrgent,
  LANE_NAMES,
  LANES,
  type Lane,
  type LaneName,
  type Order,
  rankOf,
  type Seat,
  type Thread,
} from './lanes.ts';
import { pieceRequest } from './pieceRequest.ts';
import { type Answer, type FromThread, type Kind, type Request, Stopped } from './requests.ts';
import { threadsFor } from './threads.ts';

/** Work that nobody waits for is begun once nobody has waited for anything this long. */
const QUIET_MS = 600;
/** A thread that pieces of a long take are found in ends once it has had nothing to do for so long: only so is its memory given back. */
const RELEASE_MS = 1000;

/** Where all work on takes is asked for: queues by urgency, with one thread each or several. */
export class Desk {
  private readonly lanes: readonly Lane[];
  /** At most so many orders over many takes are under way, signal checks among them; each lane may always have one. */
  private readonly most: number;
  private readonly makeThread: () => Thread;
  private readonly pieceRequest: (take: JobTake, piece: Piece) => Promise<Request<'piece'>>;
  private lastId = 0;
  private lastUrgentMs = Number.NEGATIVE_INFINITY;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private startsSoon = false;
  /** Gives the columns of a take that the page shares with its threads. */
  columnsOf: (takeId: string) => SharedArrayBuffer | null = () => null;

  /**
   * @param pieceRequest  what is asked of a take that a sweep needs a piece of.
   * @param threads  that work on many takes.
   */
  constructor(makeThread: () => Thread, pieceRequest: Desk['pieceRequest'], threads = 1) {
    this.makeThread = makeThread;
    this.pieceRequest = pieceRequest;
    this.most = Math.max(2, threads);
    const seatsIn = (name: LaneName) => (name === 'many' || name === 'checks' ? threads : 1);
    this.lanes = LANE_NAMES.map((name) => ({
      name,
      seats: Array.from({ length: seatsIn(name) }, emptySeat),
      waiting: [],
    }));
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
    this.threadOf(this.laneOf(LANES[kind]).seats[0]!);
  }

  private order(
    name: LaneName,
    takeId: string | null,
    prepare: Order['prepare'],
    how: How,
  ): Promise<unknown> {
    const over = new AbortController();
    const answer = new Promise((resolve, reject) => {
      if (how.signal?.aborted) return reject(new Stopped());
      const made = { id: ++this.lastId, takeId, prepare, prepared: null, soonAt: null, resolve, reject };
      const order: Order = { ...how, ...made };
      const lane = this.laneOf(name);
      lane.waiting = [...lane.waiting, order];
      const { signal } = over;
      how.signal?.addEventListener('abort', () => this.drop(lane, order), { once: true, signal });
      this.startSoon();
    });
    // Else whoever may cancel it would keep the answer in memory, as long as there is nothing to cancel.
    const stopListening = (): void => over.abort();
    answer.then(stopListening, stopListening);
    return answer;
  }

  /** Once for all that are ordered in one go. */
  private startSoon(): void {
    if (this.startsSoon) return;
    this.startsSoon = true;
    void Promise.resolve().then(() => {
      this.startsSoon = false;
      this.startNext();
    });
  }

  /** Work under way ends by itself soon, and what it came to is told: only a sweep stops half-way. */
  private drop(lane: Lane, order: Order): void {
    const seat = lane.seats.find(({ running }) => running === order);
    if (seat && lane.name !== 'checks') {
      seat.thread?.postMessage({ type: 'cancel', id: order.id });
      return;
    }
    if (seat) endThread(seat);
    lane.waiting = lane.waiting.filter((other) => other !== order);
    order.reject(new Stopped());
    this.startSoon();
  }

  /** Starts what is next. To be called by whoever changes how urgent an order is. */
  startNext(): void {
    this.noteUrgent();
    for (const lane of this.lanes) {
      if (lane.name === 'checks') this.makeWay(lane);
      for (const seat of lane.seats) {
        if (seat.running !== null || lane.waiting.length === 0 || !this.hasRoom(lane)) continue;
        const next = this.nextOf(lane, seat);
        if (next) void this.start(lane, seat, next);
      }
    }
  }

  /** A check that is less urgent than one that waits begins anew after it; of several the one that was begun last. */
  private makeWay(lane: Lane): void {
    const isFull = lane.seats.every(({ running }) => running !== null) || !this.hasRoom(lane);
    if (lane.waiting.length === 0 || !isFull) return;
    const busy = lane.seats.filter(({ running }) => running !== null);
    const [last] = busy.sort(
      (a, b) => rankOf(b.running!) - rankOf(a.running!) || b.running!.id - a.running!.id,
    );
    const next = this.nextOf(lane, null);
    if (!next || !last || rankOf(next) >= rankOf(last.running!)) return;
    lane.waiting = [last.running!, ...lane.waiting];
    endThread(last);
  }

  private hasRoom(lane: Lane): boolean {
    const busyIn = ({ seats }: Lane) => seats.filter(({ running }) => running !== null).length;
    if (busyIn(lane) === 0) return true;
    return busyIn(this.laneOf('many')) + busyIn(this.laneOf('checks')) < this.most;
  }

  /** The first of the most urgent; one whose columns are on their way to another seat only where there is no other. */
  private nextOf({ waiting }: Lane, seat: Seat | null): Order | undefined {
    let next: Order | undefined;
    let best = Number.POSITIVE_INFINITY;
    for (const order of waiting) {
      const isElsewhere = order.soonAt !== null && order.soonAt !== seat;
      const rank = rankOf(order) + (isElsewhere ? 0.5 : 0);
      if (rank >= best) continue;
      [next, best] = [order, rank];
      if (best === 0) break;
    }
    return next && (isUrgent(next) || this.isQuiet()) ? next : undefined;
  }

  private isQuiet(): boolean {
    return performance.now() - this.lastUrgentMs >= QUIET_MS;
  }

  /** While somebody waits for anything it is not quiet; after that the background has its turn. */
  private noteUrgent(): void {
    const isBusy = this.lanes.some(
      ({ seats, waiting }) =>
        seats.some(({ running }) => running && isUrgent(running)) || waiting.some(isUrgent),
    );
    if (isBusy) this.lastUrgentMs = performance.now();
    clearTimeout(this.timer);
    if (isBusy || this.isQuiet()) return;
    const leftMs = this.lastUrgentMs + QUIET_MS - performance.now();
    this.timer = setTimeout(() => this.startNext(), leftMs);
  }

  private async start(lane: Lane, seat: Seat, order: Order): Promise<void> {
    seat.running = order;
    lane.waiting = lane.waiting.filter((other) => other !== order);
    const isOver = () => seat.running !== order;
    try {
      order.prepared ??= order.prepare();
      const request = await order.prepared;
      if (isOver()) return;
      if (order.signal?.aborted) throw new Stopped();
      if (request === null) return this.end(lane, seat, () => order.resolve(null));
      const columns = order.takeId === null ? null : this.columnsOf(order.takeId);
      this.threadOf(seat).postMessage({ type: 'ask', id: order.id, request, columns });
    } catch (error) {
      if (!isOver()) this.end(lane, seat, () => order.reject(asError(error)));
      return;
    }
    const next = this.nextOf(lane, seat);
    if (!next || (next.soonAt !== null && next.soonAt !== seat)) return;
    next.soonAt = seat;
    next.prepared ??= next.prepare();
    const soon = await next.prepared.catch(() => null);
    if (soon && !isOver() && next.takeId) seat.thread?.postMessage({ type: 'soon', takeId: next.takeId });
  }

  private end(lane: Lane, seat: Seat, tell: () => void): void {
    this.noteUrgent();
    seat.running = null;
    tell();
    this.startNext();
    clearTimeout(seat.release);
    if (!seat.holdsMuch) return;
    const release = (): void => {
      if (seat.running === null && lane.waiting.length === 0) endThread(seat);
    };
    // Of work on many takes something is kept for the next piece; whatever else comes next needs the room.
    if (lane.name === 'many') seat.release = setTimeout(release, RELEASE_MS);
    else release();
  }

  private hear(lane: Lane, seat: Seat, news: FromThread): void {
    const order = seat.running;
    if (order?.id !== news.id) return;
    if (news.type === 'find') void this.find(seat.thread!, order, news);
    else if (news.type === 'part') order.tellPart?.(news.part);
    else if (news.type === 'value') order.tellValue?.(news.value);
    else if (news.type === 'done') {
      seat.holdsMuch ||= news.holdsMuch ?? false;
      this.end(lane, seat, () => order.resolve(news.value));
    } else {
      const error = news.type === 'failed' ? new Error(news.message) : new Stopped();
      this.end(lane, seat, () => order.reject(error));
    }
  }

  /** Has a piece of a sweep found, as urgently as the sweep itself. */
  private async find(
    thread: Thread,
    { urgency, signal }: Order,
    { place, take, piece }: FromThread & { type: 'find' },
  ): Promise<void> {
    const how: How = signal ? { urgency, signal } : { urgency };
    try {
      const found = await this.askOf('piece', take.id, () => this.pieceRequest(take, piece), how);
      thread.postMessage({ type: 'found', place, found: found! });
    } catch (error) {
      thread.postMessage({ type: 'found', place, found: asError(error).message });
    }
  }

  private laneOf(name: LaneName): Lane {
    return this.lanes.find((lane) => lane.name === name)!;
  }

  private threadOf(seat: Seat): Thread {
    if (seat.thread) return seat.thread;
    const made = this.makeThread();
    const lane = this.lanes.find(({ seats }) => seats.includes(seat))!;
    seat.thread = made;
    made.onmessage = ({ data }) => {
      if (seat.thread === made) this.hear(lane, seat, data);
    };
    made.onerror = ({ message }) => {
      if (seat.thread !== made) return;
      seat.thread = null;
      const { running } = seat;
      // Without a word of its own, its script could not be loaded: the server is gone.
      if (running) this.end(lane, seat, () => running.reject(new Error(message || OFFLINE)));
    };
    return made;
  }
}

function asError(error: unknown): Error {
  return error instanceof Error ? error : new Error(String(error));
}

export const desk = new Desk(
  () => new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' }) as unknown as Thread,
  pieceRequest,
  threadsFor(globalThis.navigator?.hardwareConcurrency),
);
