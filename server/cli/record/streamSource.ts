import type { Readable } from 'node:stream';
import type { Sink, Source } from './source.ts';

/** Standard input, or a pipe: it ends when whoever writes it ends. */
export function streamSource(name: string, open: () => Readable): Source {
  return {
    name,
    joins: false,
    listen: (sink, signal) => listenTo(open(), sink, signal),
  };
}

async function listenTo(stream: Readable, sink: Sink, signal: AbortSignal): Promise<'stopped' | 'ended'> {
  const stop = (): void => void stream.destroy();
  signal.addEventListener('abort', stop);
  try {
    if (signal.aborted) return 'stopped';
    for await (const chunk of stream) sink.bytes(chunk);
    return signal.aborted ? 'stopped' : 'ended';
  } catch (error) {
    if (signal.aborted) return 'stopped';
    throw error;
  } finally {
    signal.removeEventListener('abort', stop);
  }
}
