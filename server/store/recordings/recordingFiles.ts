import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { documentText, writeAtomic } from '../atomicFile.ts';
import { systemCode } from '../errors.ts';
import { ID } from '../ids.ts';
import { isRunning, type Owner } from '../owner.ts';

/** What happened to a recording, and after which byte of its log. */
export interface RecordingEvent {
  /**
   * `joined`: a line began before it was listened to; `cut`: a line was never finished; `lost`: the source went away;
   * `back`: it came back, and a blank line was put into the log there.
   */
  readonly kind: 'joined' | 'cut' | 'lost' | 'back';
  readonly atByte: number;
  /** ISO 8601. */
  readonly at: string;
  /** What of the line came, for `joined` and `cut`: it is not in the log. */
  readonly text?: string;
}

/** `recordings/<id>/recording.json`, beside the log as it comes. */
export interface RecordingDocument {
  readonly format: 1;
  readonly id: string;
  /** What is recorded, in words: a device's path, a file's name. */
  readonly source: string;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  /** ISO 8601. */
  readonly startedAt: string;
  /** Null while it goes on, and where it was cut off. */
  readonly endedAt: string | null;
  /** The process that writes it. */
  readonly owner: Owner;
  readonly events: readonly RecordingEvent[];
  /** Why it is no take yet, one plain sentence each. */
  readonly questions: readonly string[];
}

/** `cutOff`: whoever wrote it is gone and has not ended it. */
export type RecordingState = 'running' | 'ended' | 'cutOff';

export const RECORDINGS_FOLDER = 'recordings';
export const LOG_NAME = 'log.csv';
/** Its being there asks whoever records to end. */
export const STOP_NAME = 'stop';
const DOCUMENT_NAME = 'recording.json';

export function stateOf({ endedAt, owner }: RecordingDocument): RecordingState {
  if (endedAt !== null) return 'ended';
  return isRunning(owner) ? 'running' : 'cutOff';
}

export async function writeRecording(folder: string, document: RecordingDocument): Promise<void> {
  await writeAtomic(join(folder, DOCUMENT_NAME), documentText(document));
}

/** Null where there is none. @throws SyntaxError  where the file is no document */
export async function readRecording(folder: string): Promise<RecordingDocument | null> {
  try {
    return JSON.parse(await readFile(join(folder, DOCUMENT_NAME), 'utf8'));
  } catch (error) {
    const code = systemCode(error);
    if (code === 'ENOENT' || code === 'ENOTDIR') return null;
    throw error;
  }
}

/** Oldest first; folders that hold no recording that this program can read are left alone. */
export async function listRecordings(root: string): Promise<RecordingDocument[]> {
  const names = await readdir(root).catch((error: unknown) => {
    if (systemCode(error) === 'ENOENT') return [];
    throw error;
  });
  const found: RecordingDocument[] = [];
  for (const name of names.filter((one) => ID.test(one)).sort()) {
    const document = await readRecording(join(root, name)).catch(() => null);
    if (document?.format === 1 && document.id === name) found.push(document);
  }
  return found;
}
