import { computed, signal } from '@preact/signals';
import type { Press, Span } from '../../server/engine/base/log.ts';
import { areSpinsGiven, type Proposals } from '../../server/engine/labels/labels.ts';
import {
  addSpan,
  addSwing,
  confirmAll,
  confirmItem,
  type LabelItem,
  listItems,
  moveItem,
  type ProposedKind,
  rejectItem,
} from '../../server/engine/labels/labelsEdit.ts';
import { firstAtOrAfter } from '../../server/engine/statistics/sorted.ts';
import { proposeLabels } from '../../server/engine/truth/labelsProposed.ts';
import { counted, plural } from '../../server/engine/words/count.ts';
import { centreView, changeLabels, choosePress, placeFromView, withIntent } from './labelling.ts';
import { notify } from './notices.ts';
import { openLabels, openMotion, openTake, powerPresses, proposedGestures } from './openTake.ts';
import { dispatch, sight } from './store.ts';
import { truth } from './verdicts.ts';

/** Which labels J and K walk through: swings, or the spans and gestures of one kind. */
export const walkKind = signal('swing');

/** Whether the list of labels is unfolded. */
export const areLabelsShown = signal(false);

/** While on, a drag across the staves labels a span of `spanKind`. */
export const spanMode = signal(false);
export const spanKind = signal('spinning');

/** A span that is being drawn or moved; it becomes a label when it is let go. */
export const draftSpan = signal<(Span & { readonly kind: string }) | null>(null);

export const proposals = computed<Proposals | null>(() => {
  const motion = openMotion.value;
  const known = truth.value;
  if (!motion || !known) return null;
  return proposeLabels({
    motion,
    truth: known,
    labels: openLabels.value,
    presses: powerPresses.value,
    gestures: proposedGestures.value,
  });
});

/** Everything with a beginning and an end, labelled or proposed, in time order. */
export const labelItems = computed<readonly LabelItem[]>(() =>
  proposals.value === null ? [] : listItems(openLabels.value, proposals.value),
);

const chosenKey = signal<string | null>(null);

/** The label under edit; a chosen press puts it aside. */
export const chosenItem = computed<LabelItem | null>(() => {
  if (sight.pressIndex.value !== null || chosenKey.value === null) return null;
  return labelItems.value.find((item) => keyOf(item) === chosenKey.value) ?? null;
});

export function kindOf(item: LabelItem): string {
  return item.what === 'swing' ? 'swing' : item.label.kind;
}

export function isConfirmed(item: LabelItem): boolean {
  return !item.isProposed && item.label.by === 'person';
}

/** A zoomed view shows this much about a label, or five times its length. */
const ZOOM_US = 4_000_000;

export function chooseItem(item: LabelItem | null): void {
  chosenKey.value = item === null ? null : keyOf(item);
  if (item === null) return;
  if (sight.pressIndex.peek() !== null) dispatch({ type: 'pressChosen', pressIndex: null });
  walkKind.value = kindOf(item);
}

/** Chooses the next or previous label of the walk and centres the traces on it. */
export function stepItem(by: 1 | -1): void {
  const items = labelItems.peek().filter((item) => kindOf(item) === walkKind.peek());
  if (items.length === 0) {
    notify('fact', `No ${walkKind.peek()} is labelled or proposed in this take.`);
    return;
  }
  const at = items.findIndex((item) => keyOf(item) === chosenKey.peek());
  const place = at === -1 ? placeFromView(items.map(middleOf), by) : (at + by + items.length) % items.length;
  goTo(items[place]!);
}

/** A person confirms the chosen label, or what is proposed of the chosen press; then the next one to confirm is chosen. */
export function confirmChosen(): void {
  const pressIndex = sight.pressIndex.peek();
  const item = chosenItem.peek();
  if (pressIndex !== null) confirmPress(pressIndex);
  else if (item) confirmChosenItem(item);
}

function confirmChosenItem(item: LabelItem): void {
  if (!isConfirmed(item)) changeLabels(confirmItem(openLabels.peek(), item));
  goOnFrom(item);
}

/** Whether a press is proposed as a stray one. */
export function isProposedStray(press: Press): boolean {
  return proposals.value?.strays.some((label) => isOf(label, press)) ?? false;
}

function confirmPress(pressIndex: number): void {
  const presses = powerPresses.peek();
  const press = presses[pressIndex];
  if (!press || !isProposedStray(press)) return;
  changeLabels(withIntent(openLabels.peek(), press, 'stray'));
  const open = presses.flatMap((other, index) => (isProposedStray(other) ? [index] : []));
  const next = open.find((index) => index > pressIndex) ?? open[0];
  if (next !== undefined) choosePress(next);
}

function isOf(label: { readonly downUs: number; readonly button: string }, press: Press): boolean {
  return label.downUs === press.downUs && label.button === press.button;
}

/** A person says that the chosen label is none. */
export function rejectChosen(): void {
  const item = chosenItem.peek();
  if (!item) return;
  changeLabels(rejectItem(openLabels.peek(), item));
  goOnFrom(item);
}

export function moveChosen(to: Span): void {
  const item = chosenItem.peek();
  if (!item || !(to.startUs < to.endUs)) return;
  const peak = item.what === 'swing' ? { peakUs: peakIn(to) } : {};
  changeLabels(moveItem(openLabels.peek(), item, { ...to, ...peak }));
  chooseItem(itemAt(kindOf(item), to));
}

/** Labels a stretch that a person marked. */
export function addMarked(kind: string, span: Span): void {
  const labels = openLabels.peek();
  const dropsProposals = kind === 'spinning' && !areSpinsGiven(labels);
  const proposed = dropsProposals ? (proposals.peek()?.spinning.length ?? 0) : 0;
  if (kind === 'swing') changeLabels(addSwing(labels, { ...span, peakUs: peakIn(span) }));
  else changeLabels(addSpan(labels, kind, span));
  chooseItem(itemAt(kind, span));
  const left = proposals.peek()?.spinning.length ?? 0;
  if (proposed > 0 && left > 0) {
    const others = counted(left, 'proposed one does', 'proposed ones do');
    notify('fact', `Now only labelled spins count in this take: ${others} not any more.`, {
      label: `Confirm ${plural(left, 'it', 'them')} too`,
      run: () => confirmProposed('spinning'),
    });
  }
}

/** Labels the middle third of what the staves show, for hands on the keys: its ends are then typed in the bar. */
export function markMiddle(): void {
  const durationUs = openTake.peek()?.durationUs;
  if (durationUs === undefined) return;
  const { startUs, endUs } = sight.window.peek() ?? { startUs: 0, endUs: durationUs };
  const third = (endUs - startUs) / 3;
  addMarked(spanKind.peek(), { startUs: Math.round(startUs + third), endUs: Math.round(endUs - third) });
  spanMode.value = false;
}

export function confirmProposed(kind: ProposedKind): void {
  const found = proposals.peek();
  if (found) changeLabels(confirmAll(openLabels.peek(), found, kind));
}

/** A person confirms all proposed spins and swings, and with them the stops at their ends: one step for undo. */
export function confirmSpinsAndSwings(): void {
  const found = proposals.peek();
  if (!found) return;
  changeLabels(confirmAll(confirmAll(openLabels.peek(), found, 'spinning'), found, 'swings'));
}

function goTo(item: LabelItem): void {
  chooseItem(item);
  const { startUs, endUs } = item.label;
  const roomUs = Math.max(ZOOM_US, 1.4 * (endUs - startUs));
  centreView(middleOf(item), roomUs, 1.4 * (endUs - startUs));
}

function goOnFrom({ label }: LabelItem): void {
  const open = labelItems
    .peek()
    .filter((item) => kindOf(item) === walkKind.peek() && !isConfirmed(item) && !isSame(item.label, label));
  const next = open.find((item) => item.label.startUs >= label.startUs) ?? open[0];
  if (next) goTo(next);
  else chooseItem(itemAt(walkKind.peek(), label));
}

function itemAt(kind: string, { startUs, endUs }: Span): LabelItem | null {
  const holds = (item: LabelItem) =>
    kindOf(item) === kind && item.label.startUs <= startUs && item.label.endUs >= endUs;
  return labelItems.peek().find((item) => !item.isProposed && holds(item)) ?? null;
}

function isSame(a: Span, b: Span): boolean {
  return a.startUs === b.startUs && a.endUs === b.endUs;
}

/** When the blade is fastest within a stretch. */
function peakIn({ startUs, endUs }: Span): number {
  const motion = openMotion.peek();
  if (!motion) return startUs;
  const { timeUs, trueSpeedDps } = motion;
  let best = firstAtOrAfter(timeUs, startUs);
  for (let i = best; i < timeUs.length && timeUs[i]! <= endUs; ++i)
    if (trueSpeedDps[i]! > trueSpeedDps[best]!) best = i;
  return Math.min(endUs, Math.max(startUs, timeUs[best] ?? startUs));
}

function middleOf({ label }: LabelItem): number {
  return (label.startUs + label.endUs) / 2;
}

function keyOf(item: LabelItem): string {
  return `${kindOf(item)} ${item.label.startUs} ${item.label.endUs} ${item.isProposed}`;
}
