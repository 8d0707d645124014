import { closeSync, fsync, fsyncSync, ftruncateSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { makeFolder, syncFolder } from '../atomicFile.ts';
import { fromSystemError } from '../errors.ts';
import { newRecordingId } from '../ids.ts';
import { ownProcess } from '../owner.ts';
import { LineKeeper } from './lineKeeper.ts';
import { LOG_NAME, type RecordingDocument, type RecordingEvent, writeRecording } from './recordingFiles.ts';

/** What is known of a recording as it begins. */
export interface NewRecording extends Pick<RecordingDocument, 'source' | 'title' | 'performer' | 'drill'> {
  /** Whether listening may begin in the middle of a line, as with a device that is sending already. */
  readonly joins: boolean;
}

/** What came is on the disk after this time at most. */
const SYNC_MS = 500;

/**
 * Writes a log as it comes: `recordings/<id>/log.csv`, whole lines only, and beside it what happened to it. It needs
 * nothing of the workspace but its folder, so that it goes on whether or not a server has the workspace open. What was
 * received outlives the process; what is older than half a second outlives the machine.
 */
export class Recorder {
  readonly folder: string;
  private document: RecordingDocument;
  private readonly joins: boolean;
  private readonly now: () => number;
  private lines: LineKeeper;
  private readonly log: number;
  private bytes = 0;
  private received = 0;
  private isDirty = false;
  private isEnded = false;
  private failure: unknown = null;
  private saved: Promise<void> = Promise.resolve();
  private synced: Promise<void> = Promise.resolve();
  private readonly timer: NodeJS.Timeout;

  private constructor(folder: string, document: RecordingDocument, joins: boolean, now: () => number) {
    this.folder = folder;
    this.document = document;
    this.joins = joins;
    this.now = now;
    this.lines = new LineKeeper(joins);
    this.log = openSync(join(folder, LOG_NAME), 'ax');
    this.timer = setInterval(() => this.sync(), SYNC_MS);
  }

  /** @param root  the workspace's folder of recordings; made where it is not there */
  static async begin(root: string, about: NewRecording, now: () => number = Date.now): Promise<Recorder> {
    const { joins, ...rest } = about;
    const id = newRecordingId(now());
    const folder = join(root, id);
    try {
      await makeFolder(folder);
      const startedAt = new Date(now()).toISOString();
      const owner = ownProcess();
      const document = {
        format: 1,
        id,
        ...rest,
        startedAt,
        endedAt: null,
        owner,
        events: [],
        questions: [],
      } as const;
      await writeRecording(folder, document);
      const recorder = new Recorder(folder, document, joins, now);
      await syncFolder(folder);
      return recorder;
    } catch (error) {
      throw fromSystemError(error);
    }
  }

  get id(): string {
    return this.document.id;
  }

  get sizeBytes(): number {
    return this.bytes;
  }

  /** All that came, with what is held back or put aside. */
  get receivedBytes(): number {
    return this.received;
  }

  /** @throws DiskFullError  and what else the disk refuses; all that came before is kept */
  receive(bytes: Uint8Array): void {
    if (this.failure !== null) throw this.failure;
    this.received += bytes.length;
    const { lines, joined } = this.lines.push(bytes);
    if (joined !== null) this.note('joined', joined);
    this.append(lines);
  }

  /** The source went away: its unfinished line is taken out of the log. */
  lose(): void {
    this.cutLine();
    this.note('lost');
  }

  /** It is back: the same recording goes on, behind a blank line, which ends a capture where the log has no clock. */
  resume(): void {
    this.lines = new LineKeeper(this.joins);
    if (this.bytes > 0) this.append(Buffer.from('\n'));
    this.note('back');
  }

  /** @param isWhole  whether the source said that it ends: then a last line without a line end is one */
  async end(isWhole: boolean): Promise<void> {
    if (this.isEnded) return;
    this.isEnded = true;
    clearInterval(this.timer);
    await this.synced;
    try {
      if (isWhole) this.append(this.lines.takeRest());
      else this.cutLine();
      fsyncSync(this.log);
    } finally {
      closeSync(this.log);
    }
    await this.saved;
    this.document = { ...this.document, endedAt: this.timeNow() };
    await writeRecording(this.folder, this.document);
  }

  private append(bytes: Buffer): void {
    try {
      for (let from = 0; from < bytes.length; ) from += writeSync(this.log, bytes, from);
    } catch (error) {
      // A part of a line may be written; the log ends with the line before.
      ftruncateSync(this.log, this.bytes);
      throw fromSystemError(error);
    }
    this.bytes += bytes.length;
    this.isDirty ||= bytes.length > 0;
  }

  private cutLine(): void {
    const rest = this.lines.takeRest();
    if (rest.length > 0) this.note('cut', rest.toString('latin1'));
  }

  private note(kind: RecordingEvent['kind'], text?: string): void {
    const event = { kind, atByte: this.bytes, at: this.timeNow(), ...(text === undefined ? {} : { text }) };
    const document = { ...this.document, events: [...this.document.events, event] };
    this.document = document;
    this.saved = this.saved
      .then(() => writeRecording(this.folder, document))
      .catch((error: unknown) => this.fail(error));
  }

  private sync(): void {
    if (!this.isDirty) return;
    this.isDirty = false;
    this.synced = new Promise((resolve) => {
      fsync(this.log, (error) => {
        if (error) this.fail(error);
        resolve();
      });
    });
  }

  private fail(error: unknown): void {
    this.failure ??= fromSystemError(error);
  }

  private timeNow(): string {
    return new Date(this.now()).toISOString();
  }
}
