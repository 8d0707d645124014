import { effect, signal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { messageOf } from '../state/notices.ts';
import { desk } from './desk.ts';
import type { Urgency } from './lanes.ts';
import type { Answer, Kind, Request } from './requests.ts';

/** Waiting time before a question that changes with every step of a drag is asked. */
const REST_MS: Readonly<Record<Urgency, number>> = { open: 150, view: 150, background: 500 };

/** The answer to a question, as far as it is known. */
export interface Known<K extends Kind> {
  readonly status: 'idle' | 'running' | 'stopped' | 'failed' | 'done';
  /** The answer, or as much of it as there is. */
  readonly value: Answer<K> | null;
  /** The request that `value` answers. */
  readonly of: Request<K> | null;
  /** Whether that is what is asked now; else `value` is behind. */
  readonly isCurrent: boolean;
  readonly error: string | null;
  /** Share that is done, 0 to 1; null until it takes long enough to be noticed. */
  readonly part: number | null;
}

const UNNOTICED_MS = 1000;

/** One question that is asked anew as what it rests on changes. The last answer stays until there is a newer one. */
export class Question<K extends Kind> {
  readonly known = signal<Known<K>>({
    status: 'idle',
    value: null,
    of: null,
    isCurrent: false,
    error: null,
    part: null,
  });
  private readonly urgency: Urgency;
  private readonly restsOn: (request: Request<K>) => unknown;
  private asked: { readonly request: Request<K> | null; readonly key: string } | null = null;
  /** Key of the request that `known` answers. */
  private knownKey: string | null = null;
  /** Counts what was followed. */
  private turn = 0;
  private end = (): void => {};

  /** @param restsOn  all of a request that its answer rests on. */
  constructor(urgency: Urgency, restsOn: (request: Request<K>) => unknown = (request) => request) {
    this.urgency = urgency;
    this.restsOn = restsOn;
  }

  keyOf(request: Request<K> | null): string {
    return request === null ? '' : JSON.stringify(this.restsOn(request));
  }

  /**
   * Asks this from now on; null asks nothing.
   * @param key  of the request: the same again changes nothing.
   * @returns what to call once nobody looks any longer. It does nothing if somebody has followed since: the next view may
   *   do so before the last one is taken down.
   */
  follow(
    request: Request<K> | null,
    key = this.keyOf(request),
    restMs = this.asked === null ? 0 : REST_MS[this.urgency],
  ): () => void {
    const turn = ++this.turn;
    if (key !== this.asked?.key) {
      this.asked = { request, key };
      this.askAfter(restMs);
    }
    return () => {
      if (turn === this.turn) this.leave();
    };
  }

  /** What is known is kept; what is missing is asked for at once when somebody looks again. */
  private leave(): void {
    this.end();
    this.asked = null;
  }

  stop = (): void => {
    this.end();
    this.tell({ status: 'stopped', part: null });
  };

  goOn = (): void => this.askAfter(0);

  /** `known` as it stands to a request that may not have been followed yet. */
  knownOf(key: string): Known<K> {
    const known = this.known.value;
    if (key === this.asked?.key) return known;
    const isCurrent = key === this.knownKey;
    if (isCurrent && known.status === 'done') return { ...known, isCurrent };
    return { ...known, isCurrent, status: key === '' ? 'idle' : 'running', error: null, part: null };
  }

  private askAfter(restMs: number): void {
    this.end();
    const { request, key } = this.asked!;
    const isCurrent = key === this.knownKey;
    const isDone = isCurrent && this.known.peek().status === 'done';
    const status = request === null ? 'idle' : isDone ? 'done' : 'running';
    this.tell({ status, isCurrent, error: null, part: null });
    if (request === null || isDone) return;
    const stopped = new AbortController();
    const timer = setTimeout(() => void this.ask(request, key, stopped.signal), restMs);
    this.end = () => {
      clearTimeout(timer);
      stopped.abort();
    };
  }

  private async ask(request: Request<K>, key: string, signal: AbortSignal): Promise<void> {
    const sinceMs = performance.now();
    const tell = (change: Partial<Known<K>>): void => {
      if (signal.aborted) return;
      this.knownKey = key;
      this.tell({ of: request, isCurrent: true, ...change });
    };
    try {
      const value = await desk.ask(request, {
        urgency: this.urgency,
        signal,
        tellValue: (found) => tell({ value: found as Answer<K> }),
        tellPart: (part) => {
          if (!signal.aborted && performance.now() - sinceMs > UNNOTICED_MS) this.tell({ part });
        },
      });
      tell({ status: 'done', value, part: null });
    } catch (error) {
      tell({ status: 'failed', value: null, error: messageOf(error), part: null });
    }
  }

  private tell(change: Partial<Known<K>>): void {
    this.known.value = { ...this.known.peek(), ...change };
  }
}

/** Asks a question as long as a view is there. Give the same object while nothing has changed. */
export function useQuestion<K extends Kind>(question: Question<K>, request: Request<K> | null): Known<K> {
  const key = useMemo(() => question.keyOf(request), [question, request]);
  const leave = useRef(() => {});
  useEffect(() => {
    leave.current = question.follow(request, key);
  }, [question, key]);
  useEffect(() => () => leave.current(), [question]);
  return question.knownOf(key);
}

/**
 * Does something anew whenever what it rests on has changed and rested. What is done at once the first time.
 * @param watch  reads all signals that it rests on.
 * @param act  is to end when `signal` is aborted: something has changed.
 */
export function whenRested(
  urgency: Urgency,
  watch: () => void,
  act: (signal: AbortSignal) => void,
): () => void {
  let stopped = new AbortController();
  let timer: ReturnType<typeof setTimeout> | undefined;
  let restMs = 0;
  const end = effect(() => {
    watch();
    stopped.abort();
    clearTimeout(timer);
    stopped = new AbortController();
    const { signal } = stopped;
    timer = setTimeout(() => act(signal), restMs);
    restMs = REST_MS[urgency];
  });
  return () => {
    end();
    clearTimeout(timer);
    stopped.abort();
  };
}
