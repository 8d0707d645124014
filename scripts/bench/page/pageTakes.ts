import { existsSync } from 'node:fs';
import type { PressLabel } from '../../../server/engine/labels/labels.ts';
import type { TakeDocument } from '../../../server/http/schemas.ts';
import { seededNormal } from '../../simulate/random.ts';
import { addTake, send, serve } from '../served.ts';

/** A take of the page's benchmark; the first is the one that all others are compared with. */
export interface PageTake {
  readonly title: string;
  readonly seconds: number;
  readonly pressEveryMs: number;
}

export const PAGE_TAKES: readonly PageTake[] = [
  { title: 'Ten seconds', seconds: 10, pressEveryMs: 2500 },
  { title: 'Ten minutes', seconds: 600, pressEveryMs: 5000 },
  { title: 'An hour', seconds: 3600, pressEveryMs: 5000 },
  { title: 'An hour, 7000 presses', seconds: 3600, pressEveryMs: 514 },
];

const RATE_HZ = 1000;
const SPIN_S = 20;
const PAUSE_S = 10;
const HELD_MS = 90;

/** How long it took to send a log, preview it and add it as a take, and what the server came to hold meanwhile. */
export interface AddedTake {
  readonly addedMs: number;
  readonly serverMb: number;
}

/**
 * Makes a workspace of one take with its presses labelled, so that work on other takes disturbs nothing; one that is there
 * is taken as it is: null.
 */
export async function makePageTake(workspace: string, take: PageTake): Promise<AddedTake | null> {
  if (existsSync(workspace)) return null;
  const served = await serve(workspace, '--no-demo');
  try {
    const words = { title: take.title, performer: 'bench', drill: '' };
    const log = logOf(take);
    const sinceMs = performance.now();
    const id = await addTake(served.address, log, words);
    const addedMs = performance.now() - sinceMs;
    await labelPresses(served.address, id);
    return { addedMs, serverMb: served.mostMb() };
  } finally {
    await served.stop();
  }
}

/**
 * Spins of 20 s about the sensor's y with pauses of 10 s between, and presses at even times, so that some meet a swing and
 * some its turn. The force is gravity as it lies in the turning sensor: a take that contradicts itself is swept by nobody.
 */
function logOf({ seconds, pressEveryMs }: PageTake): string {
  const normal = seededNormal(4);
  let angleRad = 0;
  const lines = ['time_ms,ax_g,ay_g,az_g,gx_dps,gy_dps,gz_dps,power_button'];
  for (let i = 0; i < seconds * RATE_HZ; ++i) {
    const t = i / RATE_HZ;
    const swing = isSpinning(t) ? 600 * Math.sin(2 * Math.PI * 0.9 * t) * (0.7 + 0.3 * Math.sin(t / 3)) : 0;
    const gravityG = [-Math.sin(angleRad), 0, Math.cos(angleRad)];
    angleRad += ((swing / RATE_HZ) * Math.PI) / 180;
    const force = gravityG.map((g) => (g + normal() * 0.01).toFixed(4));
    const rate = [0, swing, 0].map((dps) => (dps + normal()).toFixed(2));
    lines.push(`${i},${force.join(',')},${rate.join(',')},${i % pressEveryMs < HELD_MS ? 1 : 0}`);
  }
  return `${lines.join('\n')}\n`;
}

/** A take begins with its spin, so that the shortest has one too. */
function isSpinning(seconds: number): boolean {
  return seconds % (SPIN_S + PAUSE_S) < SPIN_S;
}

/** Whoever presses in a spin did not mean it. */
async function labelPresses(address: string, takeId: string): Promise<void> {
  const document = (await (await fetch(`${address}/api/takes/${takeId}`)).json()) as TakeDocument;
  const presses = document.presses.map(({ button, downUs }): PressLabel => {
    return { button, downUs, intent: isSpinning(downUs / 1e6) ? 'stray' : 'wanted', by: 'person' };
  });
  const change = { revision: document.revision, labels: { ...document.labels, presses } };
  const answer = await send(address, 'PATCH', `/api/takes/${takeId}`, change);
  if (!answer.ok) throw new Error(await answer.text());
}
