import { computed, type ReadonlySignal } from '@preact/signals';
import { GESTURE_KINDS, settleGestures } from '../../server/engine/labels/labels.ts';
import { type Story, tellStory } from '../../server/engine/replay/story.ts';
import { type WrongMoment, wrongMoments } from '../../server/engine/replay/wrongMoments.ts';
import { listEvents, type PropEvent } from '../../server/engine/score/listEvents.ts';
import type { Slot } from './model.ts';
import { openLabels, openTake } from './openTake.ts';
import { candidates, sight } from './store.ts';
import { truth, verdicts } from './verdicts.ts';

/** Moments at which the blade was in use, whatever a candidate makes of them. */
const movesUs = computed(() => {
  const gestures = GESTURE_KINDS.flatMap((kind) => settleGestures(openLabels.value, kind));
  return [
    ...(truth.value?.swings ?? []).map(({ peakUs }) => peakUs),
    ...gestures.map(({ startUs, endUs }) => (startUs + endUs) / 2),
  ];
});

/** What the performer would have seen with a candidate; null while no take is open. */
export const stories = ofBoth<Story>((slot) => {
  const verdict = verdicts[slot].value;
  const take = openTake.value;
  if (!verdict || !take) return null;
  const { timeUs } = verdict.signals;
  return tellStory({
    durationUs: take.durationUs,
    verdicts: verdict.presses,
    labels: openLabels.value,
    movesUs: movesUs.value,
    deflectionsUs: verdict.deflections && Array.from(verdict.deflections, (index) => timeUs[index]!),
  });
});

const wrongs = ofBoth<readonly WrongMoment[]>((slot) => {
  const verdict = verdicts[slot].value;
  const known = truth.value;
  if (!verdict || !known) return null;
  const { signals, presses, deflections, fires, deflectionScore } = verdict;
  return wrongMoments({
    timeUs: signals.timeUs,
    verdicts: presses,
    deflections: deflections ?? new Int32Array(0),
    fires,
    labels: openLabels.value,
    swings: known.swings,
    missedSwings: deflectionScore?.missedSwings ?? [],
    twiceUs: deflectionScore?.twiceUs ?? [],
  });
});

/** All that a candidate's prop would have done, in time order. */
export const eventsOf = ofBoth<readonly PropEvent[]>((slot) => {
  const verdict = verdicts[slot].value;
  if (!verdict) return null;
  const { signals, fires, deflections, dial, presses } = verdict;
  const candidate = candidates[slot].value;
  return listEvents({ signals, candidate, fires, deflections, dialSteps: dial, verdicts: presses });
});

/** The candidates in sight. */
export const shownSlots = computed<readonly Slot[]>(() => (sight.showB.value ? ['a', 'b'] : ['a']));

export type ShownWrong = WrongMoment & { readonly slot: Slot };

/** Wrong moments of the candidates in sight, in time order. */
export const shownWrongs = computed<readonly ShownWrong[]>(() =>
  shownSlots.value
    .flatMap((slot) => (wrongs[slot].value ?? []).map((one) => ({ ...one, slot })))
    .sort((a, b) => a.timeUs - b.timeUs),
);

function ofBoth<Value>(
  tell: (slot: Slot) => Value | null,
): Readonly<Record<Slot, ReadonlySignal<Value | null>>> {
  return { a: computed(() => tell('a')), b: computed(() => tell('b')) };
}
