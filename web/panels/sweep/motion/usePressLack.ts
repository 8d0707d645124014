import { useRef } from 'preact/hooks';
import type { Decline } from '../../../../server/engine/choose/decline.ts';
import type { DeclineKind } from '../../../../server/engine/choose/problem.ts';
import type { GuardJob } from '../../../sweep/jobs.ts';
import type { JobState } from '../../../sweep/useJob.ts';

/** Why presses do not decide where there are none, or too few. Any other reason is theirs to be mended. */
export const PRESS_LACKS: readonly DeclineKind[] = ['noPresses', 'noLabels', 'oneClass', 'tooFew'];

/** What the presses lack to choose by; null where they lack nothing. While a job runs, what the last one found. */
export function usePressLack({ value, isCurrent }: JobState<GuardJob>): Decline | null {
  const last = useRef<Decline | null>(null);
  const choice = value?.result?.choice;
  if (isCurrent && choice)
    last.current =
      choice.kind === 'declined' && PRESS_LACKS.includes(choice.decline.kind) ? choice.decline : null;
  return last.current;
}
