import type { CheckVerdict, SignalCheck } from '../../../server/engine/check/checkSignals.ts';
import type { CheckState } from '../../../server/engine/check/line.ts';
import { distrustText, VERDICT_WORDS } from '../../../server/engine/words/check/check.ts';
import { unfitText } from '../../../server/engine/words/choose/unfit.ts';
import type { TakeSummary } from '../../../server/http/schemas.ts';
import { standingOf } from '../../state/fitness.ts';
import { IncludeButton } from '../FitnessLine.tsx';
import { StateMark } from './StateMark.tsx';

export const VERDICT_STATES: Readonly<Record<CheckVerdict, CheckState>> = {
  fit: 'pass',
  care: 'caution',
  unfit: 'fail',
};

/** The verdict on top: shape, word, and what to distrust. */
export function VerdictBanner(props: {
  readonly check: SignalCheck;
  readonly distrust: readonly string[];
  /** As the workspace has it; undefined once it is removed. */
  readonly take: TakeSummary | undefined;
}) {
  const { check, distrust, take } = props;
  const standing = take && standingOf(take);
  const state = VERDICT_STATES[check.verdict];
  const count = (of: CheckState) => check.lines.filter((line) => line.state === of).length;
  return (
    <header class={`card verdict is-${state}`}>
      <StateMark state={state} size={34} />
      <div>
        <h2>{VERDICT_WORDS[check.verdict]}</h2>
        <p>
          {distrust.length === 0 ? 'Nothing found that a threshold would trip over.' : distrustText(distrust)}
        </p>
        {take && standing?.kind === 'unfit' && (
          <p>
            {standing.isIncluded
              ? 'Included by hand in Sweep, Compare and Plan.'
              : `Left out of Sweep, Compare and Plan: ${unfitText(standing.why)}.`}{' '}
            <IncludeButton take={take} />
          </p>
        )}
      </div>
      <p class="verdict-count">
        {count('pass')} pass · {count('caution')} caution · {count('fail')} fail
      </p>
    </header>
  );
}
