import { RecordingStateError } from '../errors.ts';
import { type NewRecording, Recorder } from './recorder.ts';

/** A page that says nothing for so long is gone: what it sent is kept. It says something every second or so. */
export const SILENT_MS = 20_000;

interface Receiving {
  readonly recorder: Recorder;
  heardMs: number;
}

/** Recordings whose bytes a page reads from a device and hands on: this process writes them. */
export class PageRecordings {
  private readonly root: string;
  private readonly now: () => number;
  private readonly receiving = new Map<string, Receiving>();

  constructor(root: string, now: () => number) {
    this.root = root;
    this.now = now;
  }

  async begin(about: NewRecording): Promise<string> {
    const recorder = await Recorder.begin(this.root, about, this.now);
    this.receiving.set(recorder.id, { recorder, heardMs: this.now() });
    return recorder.id;
  }

  /** @throws RecordingStateError  where no page hands this one on (any more) */
  get(id: string): Recorder {
    const found = this.receiving.get(id);
    if (!found) throw new RecordingStateError('This recording has ended. What came before is kept.');
    found.heardMs = this.now();
    return found.recorder;
  }

  has(id: string): boolean {
    return this.receiving.has(id);
  }

  /** Ends one; nothing where it has ended. */
  async end(id: string): Promise<void> {
    const found = this.receiving.get(id);
    if (!found) return;
    this.receiving.delete(id);
    await found.recorder.end(false);
  }

  /** Ends those of pages that are gone. */
  async endSilent(): Promise<void> {
    for (const [id, { heardMs }] of this.receiving) if (this.now() - heardMs > SILENT_MS) await this.end(id);
  }

  async endAll(): Promise<void> {
    for (const id of [...this.receiving.keys()]) await this.end(id);
  }
}
