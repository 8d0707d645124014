import { effect, untracked } from '@preact/signals';
import type { SignalCheck } from '../../../server/engine/check/checkSignals.ts';
import { checkRequest, noteFitness, noteUnchecked } from '../../state/fitness.ts';
import { type OpenTake, openTake } from '../../state/openTake.ts';
import { sight } from '../../state/store.ts';
import { Question } from '../../takes/question.ts';

/** The signal check of the open take. */
export const signalCheck = new Question<'check'>('open');

/** What was found of this take; of an earlier calibration as long as the check of this one is under way. */
export function checkOf({ document }: OpenTake): SignalCheck | null {
  const { value, of } = signalCheck.known.value;
  return of?.takeId === document.id ? (value?.result ?? null) : null;
}

/** A take just opened has the machine for itself this long, unless its check is what is looked at. */
const REST_MS = 500;

/** Keeps the check in step with the open take and its calibration, and the take's standing with the check. */
export function startSignalCheck(): void {
  effect(() => {
    const take = openTake.value;
    const isLookedAt = sight.view.value === 'signal' || sight.view.value === 'sweep';
    const request = take && checkRequest(take.document, null);
    signalCheck.follow(request, signalCheck.keyOf(request), isLookedAt ? 0 : REST_MS);
  });
  effect(() => {
    const { status, value, of, isCurrent, error } = signalCheck.known.value;
    const document = openTake.peek()?.document;
    if (!document || !isCurrent || of?.takeId !== document.id) return;
    untracked(() => {
      if (status === 'done' && value) noteFitness(document, value);
      if (status === 'failed') noteUnchecked(document, error ?? '');
    });
  });
}
