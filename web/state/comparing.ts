import { computed, effect, signal } from '@preact/signals';
import { atMostEvery } from '../atMostEvery.ts';
import { type ComparedTake, Comparison, type ComparisonProgress, type Wants } from '../compare/comparison.ts';
import { documents } from '../takes/documents.ts';
import { compareTake } from './engineClient.ts';
import { chosenTakeId, pageWork } from './store.ts';
import { workspace } from './workspace.ts';

export interface CompareStatus extends ComparisonProgress {
  readonly kind: 'running' | 'stopped' | 'done';
}

export const compareStatus = signal<CompareStatus>({ kind: 'done', done: 0, total: 0 });

/** What is found is shown at most this often: a table of a hundred takes is not painted for each of them. */
const SHOW_EVERY_MS = 150;
/** Work begins anew once what it rests on has rested this long. */
const REST_MS = 200;

const comparison = new Comparison({ documents, compareTake });
/** Counts up when more has been worked out. */
const found = signal(0);
const show = atMostEvery<void>(SHOW_EVERY_MS, () => {
  found.value = found.peek() + 1;
});

/** The takes of the workspace with all that has been worked out of them so far. */
export const comparedTakes = computed<readonly ComparedTake[]>(() => {
  void found.value;
  return comparison.rows(workspace.value?.takes ?? [], pageWork.value);
});

/** Counts up with every run: an older one ends when it sees that. */
let current = 0;

/** Keeps the comparison in step with takes, labels and candidates while a view needs it. @returns a function that stops it. */
export function followComparison(wants: Wants): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let isFirst = true;
  const end = effect(() => {
    void [workspace.value, pageWork.value];
    clearTimeout(timer);
    timer = setTimeout(() => void run(wants), isFirst ? 0 : REST_MS);
    isFirst = false;
  });
  lastWants = wants;
  return () => {
    end();
    clearTimeout(timer);
    ++current;
    compareStatus.value = { ...compareStatus.peek(), kind: 'done' };
  };
}

let lastWants: Wants = 'scores';

export function stopComparing(): void {
  ++current;
  compareStatus.value = { ...compareStatus.peek(), kind: 'stopped' };
}

export function goOnComparing(): void {
  void run(lastWants);
}

async function run(wants: Wants): Promise<void> {
  const own = ++current;
  const isCancelled = () => own !== current;
  const tell = (progress: ComparisonProgress): void => {
    if (isCancelled()) return;
    compareStatus.value = { kind: 'running', ...progress };
    show();
  };
  const takes = orderedTakes();
  await comparison.run(takes, pageWork.peek(), wants, tell, isCancelled);
  if (isCancelled()) return;
  show(undefined, true);
  compareStatus.value = { kind: 'done', done: takes.length, total: takes.length };
}

/** The open take first: it is read already, and what the user looks at. */
function orderedTakes() {
  const takeId = chosenTakeId.peek();
  const takes = workspace.peek()?.takes ?? [];
  return [...takes.filter((take) => take.id === takeId), ...takes.filter((take) => take.id !== takeId)];
}
