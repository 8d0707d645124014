/** The thread that reads logs, so that the server goes on answering meanwhile. Its owner ends it to cancel a task. */
import { parentPort } from 'node:worker_threads';
import { failureOf, type TaskMessage, type WorkerMessage } from './ingestMessages.ts';
import { inlineIngest, runTask } from './ingestTasks.ts';

/** Finer steps than a progress bar shows are not worth a message. */
const STEP = 0.005;

function send(message: WorkerMessage): void {
  parentPort?.postMessage(message);
}

const runner = inlineIngest();

parentPort?.on('message', async ({ id, task }: TaskMessage) => {
  let told = 0;
  const onProgress = (fraction: number): void => {
    if (fraction - told < STEP) return;
    told = fraction;
    send({ id, kind: 'progress', fraction });
  };
  try {
    send({ id, kind: 'done', value: await runTask(runner, task, { onProgress }) });
  } catch (error) {
    send({ id, kind: 'failed', failure: failureOf(error) });
  }
});
