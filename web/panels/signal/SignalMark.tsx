import type { CheckVerdict } from '../../../server/engine/check/checkSignals.ts';
import { VERDICT_WORDS } from '../../../server/engine/words/check/check.ts';
import { openTake } from '../../state/openTake.ts';
import { StateMark } from './StateMark.tsx';
import { checkOf } from './signalState.ts';
import { VERDICT_STATES } from './VerdictBanner.tsx';

/** The open take's verdict beside the view's name, so that it is seen from every view. */
export function SignalMark() {
  const take = openTake.value;
  const verdict: CheckVerdict | undefined = take ? checkOf(take)?.verdict : undefined;
  if (!verdict) return null;
  return (
    <span class="signal-mark" title={VERDICT_WORDS[verdict]}>
      <StateMark state={VERDICT_STATES[verdict]} size={14} />
      <span class="unseen">, {VERDICT_WORDS[verdict].toLowerCase()}</span>
    </span>
  );
}
