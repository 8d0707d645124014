import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { cpSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { PressLabel } from '../../server/engine/truth/labels.ts';
import type {
  JobBody,
  JobStartedBody,
  NewTakeResult,
  Preview,
  TakeDocument,
  UploadBody,
} from '../../server/http/schemas.ts';
import { Choreography } from '../simulate/choreography.ts';
import { writeCsv } from '../simulate/csv.ts';
import { DEMO_TAKES } from '../simulate/demo/demoTakes.ts';
import { DEVICES } from '../simulate/demo/devices.ts';
import { DIALECTS } from '../simulate/demo/dialects.ts';
import { begin, end, outAndOn, strayAtTurn, strayMidSwing } from '../simulate/demo/session.ts';
import { reversals } from '../simulate/moves.ts';
import { type SimulatedTake, simulateTake } from '../simulate/take.ts';

const MAIN = join(import.meta.dirname, 'main.js');
const RATE_HZ = 500;
const DURATION_S = 300;
const STAND = { heading: 15, tilt: 4, bank: 85 };
/** So many performers with a recording of their own; further takes are copies of these. */
const PERFORMERS = ['Lead spinner', 'Second spinner', 'Stage duellist', 'Understudy', 'Beginner'];

/** A server that runs, and how to end it. */
export interface Served {
  readonly address: string;
  stop(): Promise<void>;
}

export async function serve(workspace: string): Promise<Served> {
  const server = spawn(process.execPath, [MAIN, '--port', '0', '--workspace', workspace], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const stop = async (): Promise<void> => {
    server.kill();
    await once(server, 'exit');
  };
  let text = '';
  server.stdout.on('data', (chunk) => {
    text += chunk;
  });
  for (;;) {
    await once(server.stdout, 'data');
    const address = /http:\/\/\S+/.exec(text)?.[0];
    if (address) return { address, stop };
  }
}

/**
 * Makes a workspace of so many takes of 5 minutes at 500 Hz: simulated reversals with labelled presses, stray and wanted,
 * by five performers. Each performer's first is simulated and added through the program itself; the rest are copies of
 * those under names of their own.
 */
export async function makeManyTakes(workspace: string, count: number): Promise<void> {
  mkdirSync(workspace, { recursive: true });
  const demoAdded = DEMO_TAKES.map(({ name }) => name);
  writeFileSync(join(workspace, 'workspace.json'), JSON.stringify({ format: 1, name: 'many', demoAdded }));
  const served = await serve(workspace);
  try {
    for (const [seed, performer] of PERFORMERS.slice(0, count).entries())
      await addTake(served.address, longTake(seed + 1), performer);
  } finally {
    await served.stop();
  }
  copyTakes(join(workspace, 'takes'), count);
}

function copyTakes(folder: string, count: number): void {
  const originals = readdirSync(folder).sort();
  for (let i = originals.length; i < count; ++i) {
    const id = `copy-${String(i + 1).padStart(3, '0')}`;
    const from = originals[i % originals.length]!;
    cpSync(join(folder, from), join(folder, id), { recursive: true });
    const path = join(folder, id, 'take.json');
    const document = JSON.parse(readFileSync(path, 'utf8'));
    writeFileSync(path, JSON.stringify({ ...document, id, title: `Take ${i + 1}` }));
  }
}

/** Sets of reversals with stops between, a stray press or two in each set and wanted ones at the stops. */
function longTake(seed: number): SimulatedTake {
  const c = new Choreography(500 + seed, { tremorDps: 2, tremorMps2: 0.12, swayDeg: 0.9, spread: 0.09 });
  begin(c, STAND, { heading: 5, tilt: 0, bank: 90, swing: 15 });
  while (c.nowS < DURATION_S - 20) {
    const startS = c.nowS;
    const turns = reversals(c, c.between(120, 170), c.between(0.36, 0.6), 14);
    c.mark('spinning', startS, c.nowS);
    strayAtTurn(c, turns[4]!, c.between(-0.02, 0.09));
    strayMidSwing(c, (turns[9]! + turns[10]!) / 2);
    outAndOn(c, c.between(0.26, 1.2));
    c.wait(c.between(0.4, 3));
  }
  c.wait(DURATION_S - 3.8 - c.nowS);
  end(c, STAND);
  return simulateTake({
    rateHz: RATE_HZ,
    seed,
    clock: { jitterUs: 40, skewPpm: 10, stampStepUs: 100, lostRows: 4, lostRun: null },
    sensor: { name: 'slim', leverArmM: [0.16, 0, 0], mount: { tip: '+x', side: '+y' }, ...DEVICES.slim },
    choreography: c.finish(),
    buttonNames: { power: 'power_button', effect: 'effect_button' },
  });
}

async function addTake(address: string, take: SimulatedTake, performer: string): Promise<void> {
  const sent = await fetch(`${address}/api/uploads?name=long.csv`, {
    method: 'POST',
    headers: { 'content-type': 'application/octet-stream' },
    body: writeCsv(take, DIALECTS.plain),
  });
  const { uploadId } = (await sent.json()) as UploadBody;
  const uploadIds = [uploadId];
  const preview = (await runJob(address, '/api/previews', { uploadIds, overrides: {} })) as Preview;
  const words = { title: `Long set, ${performer}`, performer, drill: 'reversals' };
  const added = await runJob(address, '/api/takes', { uploadIds, mapping: preview.mapping, ...words });
  await labelPresses(address, (added as NewTakeResult).takeId, take);
}

/** A press that was read is the simulated one that is nearest in time. */
async function labelPresses(address: string, takeId: string, { truth }: SimulatedTake): Promise<void> {
  const document = (await (await fetch(`${address}/api/takes/${takeId}`)).json()) as TakeDocument;
  const presses = document.presses.map(({ button, downUs }): PressLabel => {
    const [nearest] = [...truth.presses].sort(
      (a, b) => Math.abs(a.downUs - downUs) - Math.abs(b.downUs - downUs),
    );
    return { button, downUs, intent: nearest!.intent, by: 'person' };
  });
  const change = { revision: document.revision, labels: { ...document.labels, presses } };
  const answer = await send(address, 'PATCH', `/api/takes/${takeId}`, change);
  if (!answer.ok) throw new Error(await answer.text());
}

/** Starts a job on the server and waits for what it gives. */
export async function runJob(address: string, path: string, body: unknown): Promise<unknown> {
  const { jobId } = (await (await send(address, 'POST', path, body)).json()) as JobStartedBody;
  for (;;) {
    const job = (await (await fetch(`${address}/api/jobs/${jobId}`)).json()) as JobBody;
    if (job.state === 'done') return job.result;
    if (job.state !== 'running') throw new Error(job.error?.message ?? job.state);
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
}

function send(address: string, method: string, path: string, body: unknown): Promise<Response> {
  const headers = { 'content-type': 'application/json' };
  return fetch(`${address}${path}`, { method, headers, body: JSON.stringify(body) });
}
