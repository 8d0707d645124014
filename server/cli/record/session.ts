import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { type NewRecording, Recorder } from '../../store/recordings/recorder.ts';
import { STOP_NAME } from '../../store/recordings/recordingFiles.ts';
import { pause, type Sink, type Source } from './source.ts';

const LOOK_MS = 100;

/** What is told while it is recorded. */
export interface Teller {
  began(recorder: Recorder): void;
  lost(why: string): void;
  back(): void;
}

/**
 * Records a source until it ends, the signal comes, or the page asks to stop. Whatever goes wrong, what came so far is kept
 * and ended properly.
 */
export async function record(
  source: Source,
  root: string,
  about: Omit<NewRecording, 'joins' | 'source'>,
  teller: Teller,
  signal: AbortSignal,
): Promise<Recorder> {
  const recorder = await Recorder.begin(root, { ...about, source: source.name, joins: source.joins });
  const ending = new AbortController();
  const stop = AbortSignal.any([signal, ending.signal]);
  teller.began(recorder);
  const asked = watchForStop(recorder.folder, ending, stop);
  let isWhole = false;
  try {
    isWhole = (await source.listen(sinkOf(recorder, teller), stop)) === 'ended';
  } finally {
    ending.abort();
    await asked;
    await recorder.end(isWhole);
  }
  return recorder;
}

function sinkOf(recorder: Recorder, teller: Teller): Sink {
  return {
    bytes: (chunk) => recorder.receive(chunk),
    lost: (why) => {
      recorder.lose();
      teller.lost(why);
    },
    back: () => {
      recorder.resume();
      teller.back();
    },
  };
}

async function watchForStop(folder: string, ending: AbortController, stop: AbortSignal): Promise<void> {
  while (!stop.aborted) {
    if (existsSync(join(folder, STOP_NAME))) ending.abort();
    else await pause(LOOK_MS, stop);
  }
}
