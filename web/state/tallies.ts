import { effect, signal } from '@preact/signals';
import type { TakeScores } from '../../server/engine/compare/takeScores.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { type Tally, tallyOf } from '../compare/tally.ts';
import { areJobsRunning } from '../sweep/client.ts';
import { documents } from '../takes/documents.ts';
import { comparedTakes, compareStatus } from './comparing.ts';
import { tallyTake } from './engineClient.ts';
import { openTake, takeStatus } from './openTake.ts';
import { pressesOf } from './pressesOf.ts';
import { candidates, labelsByTake, pageWork } from './store.ts';
import { workspace } from './workspace.ts';

/** How candidate A fares on each take; a take is missing until it is computed. */
export const tallies = signal<ReadonlyMap<string, Tally>>(new Map());

const done = new Map<string, readonly unknown[]>();
/** The compared scores that a take's tally was last taken from. */
const shownFrom = new Map<string, TakeScores>();
/** Takes that could not be read: not asked for again until the server tells of its takes anew. */
const unreadable = new Set<string>();
let toldBy: unknown = null;
/** The list follows a drag once it rests: the open take has the whole machine while it is dragged. */
const REST_MS = 500;
let timer: ReturnType<typeof setTimeout> | undefined;
let isRunning = false;

/** Starts to keep the tallies in step with candidate A, the labels and the takes. */
export function startTallies(): void {
  effect(() => {
    void [pageWork.value, openTake.value];
    if (workspace.value !== toldBy) unreadable.clear();
    toldBy = workspace.value;
    clearTimeout(timer);
    timer = setTimeout(() => void run(), REST_MS);
  });
}

async function run(): Promise<void> {
  if (isRunning || takeStatus.peek().kind === 'loading') return;
  if (isBusy()) {
    timer = setTimeout(() => void run(), REST_MS);
    return;
  }
  isRunning = true;
  try {
    const compared = comparedByTake();
    for (const summary of workspace.peek()?.takes ?? []) {
      if (unreadable.has(summary.id) || isCompared(summary.id, compared)) continue;
      const candidate = candidates.a.peek();
      try {
        await tallyOne(summary.id, summary.revision, candidate);
      } catch {
        // It says why when it is opened; the list just shows no tally for it.
        unreadable.add(summary.id);
      }
      if (isBusy()) break;
    }
  } finally {
    isRunning = false;
  }
  if (isBehind()) timer = setTimeout(() => void run(), REST_MS);
}

/** Whether somebody waits for a take, a comparison or a sweep: the list comes behind all of them. */
function isBusy(): boolean {
  return takeStatus.peek().kind === 'loading' || compareStatus.peek().kind === 'running' || areJobsRunning();
}

type Compared = ReadonlyMap<string, TakeScores>;

function comparedByTake(): Compared {
  return new Map(comparedTakes.peek().flatMap(({ id, a }) => (a === null ? [] : [[id, a]])));
}

/** A comparison has found the same and more: its takes are not read again. */
function isCompared(id: string, compared: Compared): boolean {
  const scores = compared.get(id);
  if (scores === undefined) return false;
  if (shownFrom.get(id) !== scores) tallies.value = new Map(tallies.value).set(id, tallyOf(scores.presses));
  shownFrom.set(id, scores);
  return true;
}

function isBehind(): boolean {
  const work = pageWork.peek();
  const compared = comparedByTake();
  return (workspace.peek()?.takes ?? []).some((take) => {
    const scores = compared.get(take.id);
    if (scores !== undefined) return shownFrom.get(take.id) !== scores;
    if (unreadable.has(take.id)) return false;
    const rests = done.get(take.id);
    return (
      rests === undefined || rests[0] !== work.candidates.a || (work.labels[take.id] ?? rests[1]) !== rests[1]
    );
  });
}

async function tallyOne(id: string, revision: number, candidate: Candidate): Promise<void> {
  const document = await documents.read(id, revision);
  const labels = labelsByTake.peek()[id] ?? document.labels;
  const rests = [candidate, labels, JSON.stringify([document.calibration, document.powerButton])];
  if (!shownFrom.has(id) && done.get(id)?.every((part, i) => part === rests[i])) return;
  const presses = pressesOf(document);
  const tally = await tallyTake({
    kind: 'tally',
    takeId: id,
    calibration: document.calibration,
    presses,
    labels,
    candidate,
  });
  done.set(id, rests);
  shownFrom.delete(id);
  tallies.value = new Map(tallies.value).set(id, tally);
}
