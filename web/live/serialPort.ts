/** What is used of a port of the Web Serial API (wicg.github.io/serial). */
export interface SerialPort {
  open(options: { readonly baudRate: number; readonly bufferSize?: number }): Promise<void>;
  close(): Promise<void>;
  /** Null while it is closed or its device is gone; another stream after an error that it outlives. */
  readonly readable: ReadableStream<Uint8Array> | null;
}

interface Serial {
  /** Asks the user for a port. @throws DOMException  NotFoundError where none is chosen */
  requestPort(): Promise<SerialPort>;
}

/** Where the bytes of a port go. All are awaited, in order. */
export interface PortSink {
  /** Called at least once a second, with nothing where nothing came. */
  bytes(chunk: Uint8Array<ArrayBuffer>): Promise<void>;
  lost(): Promise<void>;
  back(): Promise<void>;
}

const SEND_MS = 30;
const ALIVE_MS = 1000;
const RETRY_MS = 300;
/** The default of 255 bytes overruns at once where the page is busy. */
const BUFFER_BYTES = 64 * 1024;

/** The browser's serial ports; null where it has none. */
export function serialOf(browser: Navigator): Serial | null {
  return 'serial' in browser ? (browser.serial as Serial) : null;
}

/**
 * Reads a port until the signal, and hands on what comes, a few dozen times a second. A device that goes away is waited for.
 * @throws what opening the port throws at first, and what the sink throws
 */
export async function readPort(
  port: SerialPort,
  baudRate: number,
  sink: PortSink,
  signal: AbortSignal,
): Promise<void> {
  const open = (): Promise<void> => port.open({ baudRate, bufferSize: BUFFER_BYTES });
  await open();
  try {
    while (!signal.aborted) {
      await readStream(port, sink, signal);
      if (signal.aborted) break;
      // Bytes are missing by now, whether it is the cable or a buffer that ran over.
      await sink.lost();
      while (!signal.aborted && port.readable === null) {
        await sink.bytes(new Uint8Array(0));
        await pause(RETRY_MS);
        await port.close().catch(() => {});
        await open().catch(() => {});
      }
      if (!signal.aborted) await sink.back();
    }
  } finally {
    await port.close().catch(() => {});
  }
}

/** Until the stream ends or breaks, or the signal comes; what came before is handed on. */
async function readStream(port: SerialPort, sink: PortSink, signal: AbortSignal): Promise<void> {
  const reader = port.readable?.getReader();
  if (!reader) return;
  let came: Uint8Array[] = [];
  let hasEnded = false;
  const stop = (): void => void reader.cancel().catch(() => {});
  signal.addEventListener('abort', stop);
  const reading = (async () => {
    for (;;) {
      const { value, done } = await reader.read();
      if (done) return;
      came.push(value);
    }
  })()
    .catch(() => {})
    .finally(() => {
      hasEnded = true;
    });
  try {
    let sentMs = performance.now();
    while (!hasEnded || came.length > 0) {
      if (came.length > 0 || performance.now() - sentMs > ALIVE_MS) {
        sentMs = performance.now();
        const chunk = joined(came);
        came = [];
        await sink.bytes(chunk);
      }
      await Promise.race([pause(SEND_MS), reading]);
    }
  } finally {
    signal.removeEventListener('abort', stop);
    if (!hasEnded) await reader.cancel().catch(() => {});
    reader.releaseLock();
  }
}

function joined(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const all = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
