import { computed, type ReadonlySignal } from '@preact/signals';
import { type MotionScore, scoreMotion } from '../../server/engine/choose/motion/motionScore.ts';
import { motionUnits } from '../../server/engine/choose/motion/motionUnits.ts';
import { patienceMs } from './judging.ts';
import type { Slot } from './model.ts';
import { openMotion } from './openTake.ts';
import { spanLabels, truth, verdicts } from './verdicts.ts';

/** The open take's spins and stops, as Sweep counts them when it judges by motion. */
export const takeUnits = computed(
  () =>
    openMotion.value &&
    truth.value &&
    motionUnits(truth.value, { spans: spanLabels.value }, openMotion.value),
);

function scoreOf(slot: Slot): ReadonlySignal<MotionScore | null> {
  const signals = computed(() => verdicts[slot].value?.signals);
  const closed = computed(() => verdicts[slot].value?.closed);
  return computed(
    () =>
      (signals.value &&
        closed.value &&
        takeUnits.value &&
        scoreMotion(signals.value, closed.value, takeUnits.value, patienceMs.value)) ??
      null,
  );
}

/** How each candidate's guard would treat presses that might have come. */
export const motionScores: Readonly<Record<Slot, ReadonlySignal<MotionScore | null>>> = {
  a: scoreOf('a'),
  b: scoreOf('b'),
};
