import type { Labels } from '../../server/engine/labels/labels.ts';
import type {
  JobBody,
  NewTakeResult,
  TakeDocument,
  UploadBody,
  UploadPreview,
} from '../../server/http/schemas.ts';
import type { Workbench } from './harness.ts';

/** Adds a log as a take with the columns as they are guessed, and the presses of its power button labelled. */
export async function addTake(
  bench: Workbench,
  take: { readonly name: string; readonly text: string; readonly title: string; readonly performer: string },
): Promise<TakeDocument> {
  const { title, performer } = take;
  const query = `?name=${encodeURIComponent(take.name)}`;
  const { uploadId } = await ask<UploadBody>(bench, 'POST', `/api/uploads${query}`, take.text);
  const uploadIds = [uploadId];
  const { mapping } = await done<UploadPreview>(bench, '/api/previews', { uploadIds, overrides: {} });
  const named = { title, performer, drill: '' };
  const { takeId } = await done<NewTakeResult>(bench, '/api/takes', { uploadIds, mapping, ...named });
  return ask(bench, 'GET', `/api/takes/${takeId}`);
}

/** Changes a take as the page does. */
export async function changeTake(
  bench: Workbench,
  { id }: Pick<TakeDocument, 'id'>,
  change: { readonly labels?: Labels; readonly calibration?: TakeDocument['calibration'] },
): Promise<TakeDocument> {
  const { revision } = await ask<TakeDocument>(bench, 'GET', `/api/takes/${id}`);
  return ask(bench, 'PATCH', `/api/takes/${id}`, { revision, ...change });
}

export async function removeTake(bench: Workbench, id: string): Promise<void> {
  await ask(bench, 'DELETE', `/api/takes/${id}`);
}

/** Of a take's labels so many strays and so many wanted presses, the first ones. */
export function withPresses({ labels }: TakeDocument, strays: number, wanted: number): Labels {
  const of = (intent: string, count: number) =>
    labels.presses.filter((press) => press.intent === intent).slice(0, count);
  return { ...labels, presses: [...of('stray', strays), ...of('wanted', wanted)] };
}

async function done<Result>(bench: Workbench, path: string, body: unknown): Promise<Result> {
  const { jobId } = await ask<{ jobId: string }>(bench, 'POST', path, body);
  for (;;) {
    const job = await ask<JobBody>(bench, 'GET', `/api/jobs/${jobId}`);
    if (job.state === 'done') return job.result as Result;
    if (job.state !== 'running') throw new Error(`${path}: ${JSON.stringify(job.error)}`);
  }
}

async function ask<Reply>(
  { server }: Workbench,
  method: string,
  path: string,
  body?: unknown,
): Promise<Reply> {
  const isText = typeof body === 'string';
  const answer = await fetch(`${server.address}${path}`, {
    method,
    ...(body === undefined
      ? {}
      : {
          headers: { 'content-type': isText ? 'application/octet-stream' : 'application/json' },
          body: isText ? body : JSON.stringify(body),
        }),
  });
  if (!answer.ok) throw new Error(`${method} ${path}: ${await answer.text()}`);
  return (answer.status === 204 ? undefined : await answer.json()) as Reply;
}
