import type { FromThread, Kind, Request, ToThread } from './requests.ts';

/** The take that is open comes before the view in sight, and that before what nobody waits for. */
export const URGENCIES = ['open', 'view', 'background'] as const;
export type Urgency = (typeof URGENCIES)[number];

/**
 * Each has threads of its own, so that a take opens while others are worked on, and both while signals are checked. A sweep
 * chooses in one of its own, and has what it needs of each take found by those of `many`.
 */
export const LANE_NAMES = ['open', 'sweep', 'many', 'checks'] as const;
export type LaneName = (typeof LANE_NAMES)[number];

export const LANES: Readonly<Record<Kind, LaneName>> = {
  open: 'open',
  blade: 'open',
  bench: 'open',
  speed: 'open',
  tally: 'many',
  compare: 'many',
  judge: 'many',
  evidence: 'many',
  stock: 'many',
  piece: 'many',
  sweep: 'sweep',
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

export interface Order extends How {
  readonly id: number;
  readonly takeId: string | null;
  /** Has been told that this take comes next. */
  soonAt: Seat | null;
  /** Made once the order is next, for it may have to be read what is to be asked; null if nothing is. */
  readonly prepare: () => Promise<Request | null>;
  prepared: Promise<Request | null> | null;
  resolve(value: unknown): void;
  reject(error: Error): void;
}

/** A place at which one order at a time is worked on. */
export interface Seat {
  thread: Thread | null;
  running: Order | null;
  /** Its thread has read a long take. */
  holdsMuch: boolean;
  release: ReturnType<typeof setTimeout> | undefined;
}

export interface Lane {
  readonly name: LaneName;
  readonly seats: readonly Seat[];
  waiting: readonly Order[];
}

export function emptySeat(): Seat {
  return { thread: null, running: null, holdsMuch: false, release: undefined };
}

/** A check is one long computation, which hears of nothing: it ends with its thread. */
export function endThread(seat: Seat): void {
  seat.thread?.terminate();
  seat.thread = null;
  seat.running = null;
  seat.holdsMuch = false;
}

export function rankOf({ urgency }: Order): number {
  return URGENCIES.indexOf(typeof urgency === 'string' ? urgency : urgency());
}

export function isUrgent(order: Order): boolean {
  return rankOf(order) < URGENCIES.indexOf('background');
}
