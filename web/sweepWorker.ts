/** The page's third thread: sweeps over takes, which may last, without holding up the take that is open. */
import { fetchColumns, fetchTake } from './api.ts';
import { atMostEvery } from './atMostEvery.ts';
import { parseColumns } from './state/columnsFile.ts';
import { runDeflectionJob } from './sweep/deflectionJob.ts';
import { runGestureJob } from './sweep/gestureJob.ts';
import { runGuardJob } from './sweep/guardJob.ts';
import type { FromWorker, Job, JobValue, ToWorker } from './sweep/jobs.ts';
import { runMotionJob } from './sweep/motionJob.ts';
import { runReversalsJob } from './sweep/reversalsJob.ts';
import { Stopped, type Surroundings } from './sweep/runner.ts';
import { TakeDocuments } from './sweep/takeDocuments.ts';
import { TakeReader } from './sweep/takeReader.ts';

const reader = new TakeReader(async (id) => {
  const bytes = await fetchColumns(id);
  return (scratch) => parseColumns(bytes, scratch);
});
/** The page is told no more often than this; what was found is large to send. */
const REPORT_EVERY_MS = 200;

const documents = new TakeDocuments(fetchTake);
const cancelled = new Set<number>();

self.onmessage = async (event: MessageEvent<ToWorker>) => {
  const message = event.data;
  if (message.type === 'cancel') {
    cancelled.add(message.id);
    return;
  }
  const { id, job, firstId } = message;
  const send = (reply: FromWorker) => self.postMessage(reply);
  const tell = atMostEvery(REPORT_EVERY_MS, (value: JobValue) => {
    if (!cancelled.has(id)) send({ id, type: 'value', value });
  });
  try {
    await run(job, {
      reader,
      firstId,
      input: (take) => documents.input(take),
      report: (value) => tell(value, value.stage === 'done'),
      isCancelled: () => cancelled.has(id),
      breathe: () => new Promise((resolve) => setTimeout(resolve, 0)),
    });
  } catch (error) {
    if (!(error instanceof Stopped))
      send({ id, type: 'failed', message: error instanceof Error ? error.message : String(error) });
  } finally {
    cancelled.delete(id);
  }
};

function run(job: Job, around: Surroundings): Promise<void> {
  switch (job.kind) {
    case 'guard':
      return runGuardJob(job, around);
    case 'motion':
      return runMotionJob(job, around);
    case 'deflection':
      return runDeflectionJob(job, around);
    case 'stab':
    case 'impact':
    case 'twist':
      return runGestureJob(job, around);
    case 'reversals':
      return runReversalsJob(job, around);
  }
}
