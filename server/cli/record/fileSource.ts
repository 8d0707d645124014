import { closeSync, fstatSync, openSync, readSync, type Stats, statSync } from 'node:fs';
import { systemCode } from '../../store/errors.ts';
import { pause, type Sink, type Source } from './source.ts';

const POLL_MS = 20;
const CHUNK_BYTES = 64 * 1024;

/** A file that another program goes on writing, from its first byte on. It ends only when it is told to. */
export function growingFile(path: string): Source {
  return { name: path, joins: false, listen: (sink, signal) => follow(path, sink, signal) };
}

async function follow(path: string, sink: Sink, signal: AbortSignal): Promise<'stopped'> {
  let file = openSync(path, 'r');
  let read = 0;
  let isAway = false;
  try {
    while (!signal.aborted) {
      read = readOn(file, read, sink);
      const whyNew = whyAnotherFile(path, file, read);
      if (whyNew === null) {
        await pause(POLL_MS, signal);
        continue;
      }
      if (!isAway) sink.lost(whyNew);
      isAway = true;
      const next = tryToOpen(path);
      if (next === null) {
        await pause(POLL_MS, signal);
        continue;
      }
      closeSync(file);
      file = next;
      read = 0;
      isAway = false;
      sink.back();
    }
    readOn(file, read, sink);
    return 'stopped';
  } finally {
    closeSync(file);
  }
}

/** Hands on what the file holds beyond what was read; returns how much of it has been read by then. */
function readOn(file: number, from: number, sink: Sink): number {
  let at = from;
  for (;;) {
    // A fresh one each time: the sink may keep what it is given.
    const chunk = Buffer.allocUnsafe(CHUNK_BYTES);
    const length = readSync(file, chunk, 0, chunk.length, at);
    if (length === 0) return at;
    sink.bytes(chunk.subarray(0, length));
    at += length;
  }
}

/** Why what lies at the path is no longer what was read so far; null where it is. */
function whyAnotherFile(path: string, file: number, read: number): string | null {
  const own = fstatSync(file);
  if (own.size < read) return `${path} was cut short and begun anew`;
  const now = statOrNull(path);
  if (now === null) return `${path} is no longer there`;
  return now.ino === own.ino && now.dev === own.dev ? null : `${path} was put in another's place`;
}

function statOrNull(path: string): Stats | null {
  try {
    return statSync(path);
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  }
}

function tryToOpen(path: string): number | null {
  try {
    return openSync(path, 'r');
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  }
}
