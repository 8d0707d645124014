import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type {
  JobBody,
  JobStartedBody,
  NewTakeResult,
  Preview,
  UploadBody,
} from '../../server/http/schemas.ts';

/** Beside the bench that runs: this file's own place is of the build's choosing. */
const MAIN = join(dirname(process.argv[1]!), 'main.js');

/** A server that runs, and how to end it. */
interface Served {
  readonly address: string;
  /** What it has held at most, in megabytes; Linux alone tells. */
  mostMb(): number;
  stop(signal?: NodeJS.Signals): Promise<void>;
}

/** Starts the built server on a workspace, on any free port; `options` as on the command line. */
export async function serve(workspace: string, ...options: string[]): Promise<Served> {
  const args = [MAIN, '--port', '0', '--workspace', workspace, ...options];
  const server = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'inherit'] });
  const stop = async (signal?: NodeJS.Signals): Promise<void> => {
    server.kill(signal);
    await once(server, 'exit');
  };
  let text = '';
  server.stdout.on('data', (chunk) => {
    text += chunk;
  });
  for (;;) {
    await once(server.stdout, 'data');
    const address = /http:\/\/\S+/.exec(text)?.[0];
    if (address) return { address, stop, mostMb: () => statusMb(server.pid!, 'VmHWM') };
  }
}

/** A size that Linux tells of a process; NaN elsewhere. */
export function statusMb(pid: number, name: string): number {
  try {
    const text = readFileSync(`/proc/${pid}/status`, 'utf8');
    return Number(new RegExp(`${name}:\\s+(\\d+) kB`).exec(text)?.[1] ?? Number.NaN) / 1024;
  } catch {
    return Number.NaN;
  }
}

/** Uploads a log and adds it as a take, as it is guessed; the take's id. */
export async function addTake(
  address: string,
  log: string,
  words: { readonly title: string; readonly performer: string; readonly drill: string },
): Promise<string> {
  const sent = await fetch(`${address}/api/uploads?name=long.csv`, {
    method: 'POST',
    headers: { 'content-type': 'application/octet-stream' },
    body: log,
  });
  const { uploadId } = (await sent.json()) as UploadBody;
  const uploadIds = [uploadId];
  const preview = (await runJob(address, '/api/previews', { uploadIds, overrides: {} })) as Preview;
  const added = await runJob(address, '/api/takes', { uploadIds, mapping: preview.mapping, ...words });
  return (added as NewTakeResult).takeId;
}

export function send(address: string, method: string, path: string, body: unknown): Promise<Response> {
  const headers = { 'content-type': 'application/json' };
  return fetch(`${address}${path}`, { method, headers, body: JSON.stringify(body) });
}

/** Starts a job on the server and waits for what it gives. */
async function runJob(address: string, path: string, body: unknown): Promise<unknown> {
  const { jobId } = (await (await send(address, 'POST', path, body)).json()) as JobStartedBody;
  for (;;) {
    const job = (await (await fetch(`${address}/api/jobs/${jobId}`)).json()) as JobBody;
    if (job.state === 'done') return job.result;
    if (job.state !== 'running') throw new Error(job.error?.message ?? job.state);
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
}
