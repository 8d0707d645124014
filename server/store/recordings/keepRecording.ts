import { open, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { WorkbenchError } from '../../errors.ts';
import type { Hooks } from '../../ingest/ground/types.ts';
import { addTake } from '../addTake.ts';
import { isOfDisk } from '../errors.ts';
import type { IngestRunner } from '../ingestTasks.ts';
import type { MappingsStore } from '../mappingsStore.ts';
import { type SourceOnDisk, sha256OfFile } from '../sourceFiles.ts';
import type { TakeStore } from '../takeStore.ts';
import { LOG_NAME, type RecordingDocument, writeRecording } from './recordingFiles.ts';

/** What a recording needs to become a take. */
export interface KeepDeps {
  readonly takes: TakeStore;
  readonly ingest: IngestRunner;
  readonly mappings: MappingsStore;
}

/** `empty`: nothing had come, and the recording is gone. */
export type Kept =
  | { readonly kind: 'take'; readonly takeId: string; readonly title: string }
  | { readonly kind: 'asks'; readonly questions: readonly string[] }
  | { readonly kind: 'empty' };

const TAIL_BYTES = 64 * 1024;

/**
 * Makes a take of a recording that has ended, by the reading that an upload would be given; the recording goes once the
 * take is there. Where the log leaves something open the recording stays, with the questions.
 */
export async function keepRecording(
  deps: KeepDeps,
  folder: string,
  recording: RecordingDocument,
  hooks: Hooks,
): Promise<Kept> {
  const document = recording.endedAt === null ? await mendCutOff(folder, recording) : recording;
  const source = await sourceOf(folder, document);
  if (source.sizeBytes === 0) {
    await rm(folder, { recursive: true, force: true });
    return { kind: 'empty' };
  }
  const found = takeWith(deps.takes, source) ?? (await read(deps, source, document, hooks));
  if (found.kind === 'take') await rm(folder, { recursive: true, force: true });
  else await writeRecording(folder, { ...document, questions: found.questions });
  return found;
}

/** The take that has this very log already, as after a crash between adding one and forgetting the other. */
export function takeWith(takes: TakeStore, source: SourceOnDisk): (Kept & { kind: 'take' }) | null {
  const [known] = takes.known([source]);
  return known ? { kind: 'take', takeId: known.takeId, title: known.title } : null;
}

export async function sourceOf(folder: string, document: RecordingDocument): Promise<SourceOnDisk> {
  const path = join(folder, LOG_NAME);
  const { size } = await stat(path);
  return { name: fileNameOf(document), path, sizeBytes: size, sha256: await sha256OfFile(path) };
}

/** The log's name as a file of its own. */
export function fileNameOf({ id }: RecordingDocument): string {
  return `recording-${id}.csv`;
}

async function read(
  { takes, ingest, mappings }: KeepDeps,
  source: SourceOnDisk,
  { title, performer, drill, startedAt, ...rest }: RecordingDocument,
  hooks: Hooks,
): Promise<Exclude<Kept, { kind: 'empty' }>> {
  try {
    const memory = { mappings: mappings.list(), apply: true };
    const { mapping, needs } = await ingest.preview({ sources: [source], overrides: {}, memory }, hooks);
    if (needs.length > 0) return { kind: 'asks', questions: needs };
    const notes = notesOf(rest);
    const take = { sources: [source], mapping, title, performer, drill, notes, createdAt: startedAt };
    const document = await addTake(takes, ingest, take, hooks);
    return { kind: 'take', takeId: document.id, title: document.title };
  } catch (error) {
    if (!(error instanceof WorkbenchError) || isOfDisk(error)) throw error;
    if (error.code === 'CANCELLED') throw error;
    return { kind: 'asks', questions: [error.message] };
  }
}

/** What happened while it was recorded, for whoever reads the take later. */
function notesOf({ source, events }: Pick<RecordingDocument, 'source' | 'events'>): string {
  const lost = events.filter(({ kind }) => kind === 'lost');
  const aside = events.filter(({ text }) => text !== undefined);
  const away = lost.map(({ at }) => {
    const back = events.find((event) => event.kind === 'back' && event.at >= at);
    return back
      ? `${at} for ${((Date.parse(back.at) - Date.parse(at)) / 1000).toFixed(1)} s`
      : `${at} to the end`;
  });
  const sentences = [`Recorded live from ${source}.`];
  if (away.length > 0) sentences.push(`The source was away: ${away.join(', ')}. Each is a gap in the take.`);
  if (aside.length > 0)
    sentences.push(
      `Not in the log, as they came in part only: ${aside.map(({ text }) => `"${text}"`).join(', ')}.`,
    );
  return sentences.join(' ').slice(0, 20_000);
}

/** After a crash of the machine the log may end in the middle of a line, which could pass for a row. */
async function mendCutOff(folder: string, recording: RecordingDocument): Promise<RecordingDocument> {
  const path = join(folder, LOG_NAME);
  const handle = await open(path, 'a+');
  try {
    const { size, mtime } = await handle.stat();
    const tail = Buffer.alloc(Math.min(size, TAIL_BYTES));
    await handle.read(tail, 0, tail.length, size - tail.length);
    const whole = Math.max(tail.lastIndexOf(10), tail.lastIndexOf(13)) + 1;
    const at = mtime.toISOString();
    const cut = tail.subarray(whole);
    // Without any line end it is no log, and is kept as it is.
    const isCut = cut.length > 0 && whole > 0;
    const atByte = size - cut.length;
    const isNoted = recording.events.some((event) => event.kind === 'cut' && event.atByte === atByte);
    const events =
      isCut && !isNoted
        ? [...recording.events, { kind: 'cut' as const, atByte, at, text: cut.toString('latin1') }]
        : recording.events;
    if (isCut) {
      // What is cut off is written down before it is gone.
      await writeRecording(folder, { ...recording, events });
      await handle.truncate(atByte);
    }
    await handle.sync();
    const mended = { ...recording, endedAt: at, events };
    await writeRecording(folder, mended);
    return mended;
  } finally {
    await handle.close();
  }
}
