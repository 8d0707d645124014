/** Where the bytes of a source go, and what is told of it. */
export interface Sink {
  bytes(chunk: Uint8Array): void;
  /** The source went away. @param why  in words, for whoever looks at the terminal */
  lost(why: string): void;
  back(): void;
}

/** Something that gives a log as it comes. */
export interface Source {
  /** In words. */
  readonly name: string;
  /** Whether listening may begin in the middle of a line. */
  readonly joins: boolean;
  /** Listens until it is told to stop, or the source ends by itself; says which. */
  listen(sink: Sink, signal: AbortSignal): Promise<'stopped' | 'ended'>;
}

/** Waits, but no longer than until the signal. */
export function pause(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const end = (): void => {
      clearTimeout(timer);
      signal.removeEventListener('abort', end);
      resolve();
    };
    const timer = setTimeout(end, ms);
    signal.addEventListener('abort', end);
    if (signal.aborted) end();
  });
}
