import { computed, type ReadonlySignal } from '@preact/signals';
import { type MotionScore, scoreMotion } from '../../server/engine/choose/motion/motionScore.ts';
import { motionUnits } from '../../server/engine/choose/motion/motionUnits.ts';
import { patienceMs } from './judging.ts';
import { lastResult } from './memo.ts';
import type { Slot } from './model.ts';
import { openLabels, openTake } from './openTake.ts';
import { truth, verdicts } from './verdicts.ts';

/** The open take's spins and stops, as Sweep counts them when it judges by motion. */
export const takeUnits = computed(() => {
  const take = openTake.value;
  const known = truth.value;
  return take && known && motionUnits(known, openLabels.value, take.motion);
});

function scoreOf(slot: Slot): ReadonlySignal<MotionScore | null> {
  const once = lastResult(scoreMotion);
  return computed(() => {
    const verdict = verdicts[slot].value;
    return (
      verdict && takeUnits.value && once(verdict.signals, verdict.closed, takeUnits.value, patienceMs.value)
    );
  });
}

/** What each candidate's guard would do to presses that might have come. */
export const motionScores: Readonly<Record<Slot, ReadonlySignal<MotionScore | null>>> = {
  a: scoreOf('a'),
  b: scoreOf('b'),
};
