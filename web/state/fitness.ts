import { effect, signal } from '@preact/signals';
import type { TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { areJobsRunning } from '../sweep/client.ts';
import { documents } from '../takes/documents.ts';
import { compareStatus } from './comparing.ts';
import { fitnessOfTake } from './engineClient.ts';
import { KeptFitness } from './fitnessKept.ts';
import { messageOf, notify } from './notices.ts';
import { documentSaved, takeStatus } from './openTake.ts';
import { sight } from './store.ts';
import { isInScope, takeScope } from './takeScope.ts';
import { refreshWorkspace, workspace } from './workspace.ts';

/** Whether a take counts where settings are chosen and takes compared, and why not. */
export type Standing =
  | { readonly kind: 'pending' }
  | { readonly kind: 'fit' }
  /** Left out, unless somebody included it by hand. */
  | { readonly kind: 'unfit'; readonly why: string; readonly isIncluded: boolean };

type Judged = Pick<TakeSummary, 'id' | 'revision' | 'useUnfit'>;

const kept = new KeptFitness();
/** Counts up with every judgement. */
const judged = signal(0);

export function standingOf({ id, revision, useUnfit }: Judged): Standing {
  void judged.value;
  const why = kept.of(id, revision);
  if (why === undefined) return { kind: 'pending' };
  return why === null ? { kind: 'fit' } : { kind: 'unfit', why, isIncluded: useUnfit };
}

/** What speaks against a take that is left out; null where it counts, or is not judged yet. */
export function whyLeftOut(take: Judged): string | null {
  const standing = standingOf(take);
  return standing.kind === 'unfit' && !standing.isIncluded ? standing.why : null;
}

/** Notes what the full signal check of a take's document came to. */
export function noteFitness(document: TakeDocument, unfit: string | null): void {
  kept.note(document, unfit);
  ++judged.value;
}

/** A judgement holds on for a document that has changed in names or labels alone. */
export function carryFitness(document: TakeDocument): void {
  const before = kept.sameSignals(document);
  if (before !== undefined && kept.of(document.id, document.revision) === undefined)
    noteFitness(document, before);
}

/** A take that cannot be checked counts for nothing until it changes. */
export function noteUnchecked(
  { id, revision }: Pick<TakeDocument, 'id' | 'revision'>,
  message: string,
): void {
  kept.noteFailed(id, revision, `its signals could not be checked (${message})`);
  ++judged.value;
}

/** Includes a take in spite of its signals, or leaves it out again: kept in its document. */
export async function includeTake({ id, revision }: TakeSummary, useUnfit: boolean): Promise<void> {
  try {
    const before = Math.max(revision, documents.known(id)?.revision ?? 0);
    const document = await documents.patch(id, before, { useUnfit });
    const unfit = kept.of(id, before);
    if (unfit !== undefined) noteFitness(document, unfit);
    documentSaved(document);
  } catch (error) {
    notify('error', messageOf(error));
  }
  await refreshWorkspace();
}

/** Takes that nobody waits for are judged while nothing else is going on. */
const IDLE_MS = 600;
let isRunning = false;
let timer: ReturnType<typeof setTimeout> | undefined;

/** Starts to judge what is not judged yet, one take at a time, those that the view looks at first. */
export function startFitness(): void {
  effect(() => {
    void [workspace.value, sight.view.value, takeScope.value, takeStatus.value];
    clearTimeout(timer);
    timer = setTimeout(() => void run(), 0);
  });
}

async function run(): Promise<void> {
  if (isRunning) return;
  isRunning = true;
  try {
    for (let next = nextTake(); next !== null; next = nextTake()) await judgeOne(next);
  } finally {
    isRunning = false;
  }
  if (pending().length > 0) {
    clearTimeout(timer);
    timer = setTimeout(() => void run(), IDLE_MS);
  }
}

function pending(): TakeSummary[] {
  return (workspace.peek()?.takes ?? []).filter(
    ({ id, revision }) => kept.of(id, revision) === undefined && !isBeingChecked(id),
  );
}

/** The open take's check is under way for its own view. */
function isBeingChecked(id: string): boolean {
  const status = takeStatus.peek();
  return status.kind === 'open' && status.take.document.id === id;
}

function nextTake(): TakeSummary | null {
  if (takeStatus.peek().kind === 'loading') return null;
  const waiting = pending();
  const needed = waiting.find(isLookedAt);
  if (needed) return needed;
  const isBusy = areJobsRunning() || compareStatus.peek().kind === 'running';
  return isBusy ? null : (waiting[0] ?? null);
}

function isLookedAt({ id }: TakeSummary): boolean {
  switch (sight.view.peek()) {
    case 'compare':
    case 'plan':
      return true;
    case 'sweep':
    case 'reversals':
      return isInScope(id);
    default:
      return false;
  }
}

async function judgeOne({ id, revision }: TakeSummary): Promise<void> {
  try {
    const document = await documents.read(id, revision);
    // Labels and names make no difference to the signals.
    const before = kept.sameSignals(document);
    if (before !== undefined) return noteFitness(document, before);
    const { calibration, report } = document;
    noteFitness(document, await fitnessOfTake({ kind: 'fitness', takeId: id, calibration, facts: report }));
  } catch (error) {
    noteUnchecked({ id, revision }, messageOf(error));
  }
}
