import { computed, signal } from '@preact/signals';
import type { TakeSummary } from '../../server/http/schemas.ts';
import { atMostEvery } from '../atMostEvery.ts';
import { type ComparedTake, Comparison, type ComparisonProgress } from '../compare/comparison.ts';
import type { ComparedWork, Wants } from '../compare/entry.ts';
import { desk } from '../takes/desk.ts';
import { documents } from '../takes/documents.ts';
import { whenRested } from '../takes/question.ts';
import { found } from '../takes/remembered.ts';
import { keptSettings } from './keptSettings.ts';
import { chosenTakeId, pageWork } from './store.ts';
import { workspace } from './workspace.ts';

export interface CompareStatus extends ComparisonProgress {
  readonly status: 'running' | 'stopped' | 'done';
}

export const compareStatus = signal<CompareStatus>({ status: 'done', done: 0, total: 0 });

/** What is found is shown at most this often, of a thousand takes twice a second: a table is not painted for each of its rows. */
const SHOW_EVERY_MS = 150;
const AND_EACH_TAKE_MS = 0.4;

const comparison = new Comparison({
  documents,
  ask: (takeId, prepare, stopped) =>
    desk.askOf('compare', takeId, prepare, { urgency: 'view', signal: stopped }),
  known: (wanted) => found.knownParts(wanted),
});
/** Counts up when more has been worked out. */
const changes = signal(0);

/** What takes are compared under: both candidates, the kept settings, and the labels as the page has them. */
const comparedWork = computed<ComparedWork>(() => ({
  ...pageWork.value,
  settings: keptSettings.value ?? [],
}));

/** The takes of the workspace with all that has been worked out of them so far. */
export const comparedTakes = computed<readonly ComparedTake[]>(() => {
  void changes.value;
  return comparison.rows(workspace.value?.takes ?? [], comparedWork.value);
});

let end = (): void => {};
let wanted: Wants = 'scores';
/** So many parts of the page look at settings to choose from: of a thousand takes these are 170 MB and most of the work. */
const gridLookers = signal(0);
/** Counts the views that have followed. */
let followers = 0;

/** Keeps the comparison in step with takes, labels and candidates while a view needs it. @returns a function that stops it. */
export function followComparison(wants: Wants): () => void {
  wanted = wants;
  const follower = ++followers;
  goOnComparing();
  return () => {
    // The next view may follow before the last one is taken down.
    if (follower !== followers) return;
    end();
    compareStatus.value = { ...compareStatus.peek(), status: 'done' };
  };
}

/** Has the comparison find what settings could be chosen from, too. @returns a function that ends it. */
export function wantGrids(): () => void {
  ++gridLookers.value;
  return () => void --gridLookers.value;
}

export function stopComparing(): void {
  end();
  compareStatus.value = { ...compareStatus.peek(), status: 'stopped' };
}

export function goOnComparing(): void {
  end();
  end = whenRested(
    'view',
    () => void [workspace.value, comparedWork.value, gridLookers.value > 0],
    (stopped) => void run(stopped),
  );
}

async function run(stopped: AbortSignal): Promise<void> {
  const takes = orderedTakes();
  const show = atMostEvery<void>(SHOW_EVERY_MS + AND_EACH_TAKE_MS * takes.length, () => {
    ++changes.value;
  });
  const tell = (progress: ComparisonProgress): void => {
    compareStatus.value = { status: 'running', ...progress };
    show();
  };
  const wants = wanted === 'scores' && gridLookers.peek() > 0 ? 'grids' : wanted;
  await comparison.run(takes, comparedWork.peek(), wants, tell, stopped);
  if (stopped.aborted) return;
  show(undefined, true);
  compareStatus.value = { status: 'done', done: takes.length, total: takes.length };
}

/** The open take first: it is read already, and what the user looks at. Then its performer's, whose row is complete first. */
function orderedTakes(): readonly TakeSummary[] {
  const takeId = chosenTakeId.peek();
  const takes = workspace.peek()?.takes ?? [];
  const open = takes.find((take) => take.id === takeId);
  if (!open) return takes;
  const isOwn = (take: TakeSummary) => take.performer === open.performer;
  const rest = takes.filter((take) => take !== open);
  return [open, ...rest.filter(isOwn), ...rest.filter((take) => !isOwn(take))];
}
