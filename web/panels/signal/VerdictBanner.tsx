import type { CheckVerdict, SignalCheck } from '../../../server/engine/check/checkSignals.ts';
import type { CheckState } from '../../../server/engine/check/line.ts';
import { distrustText, VERDICT_WORDS, type WordedCheck } from '../../../server/engine/words/check/check.ts';
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

/** The verdict on top: shape, word, what to distrust, and the one thing to do. */
export function VerdictBanner(props: {
  readonly check: SignalCheck;
  readonly worded: WordedCheck;
  /** As the workspace has it; undefined once it is removed. */
  readonly take: TakeSummary | undefined;
}) {
  const { check, take } = props;
  const { distrust, lines } = props.worded;
  const standing = take && standingOf(take);
  const state = VERDICT_STATES[check.verdict];
  const linesOf = (of: CheckState) => lines.filter((line) => line.state === of);
  const toDo = [...linesOf('fail'), ...linesOf('caution')].find(({ advice }) => advice !== '');
  return (
    <header class={`card verdict is-${state}`}>
      <StateMark state={state} size={34} />
      <div>
        <h2>{VERDICT_WORDS[check.verdict]}</h2>
        <p>
          {distrust.length === 0 ? 'Nothing found that a threshold would trip over.' : distrustText(distrust)}
        </p>
        <p class="to-do">
          {toDo ? (
            <>
              <b>To do first: {toDo.name.toLowerCase()}.</b> {toDo.advice}
            </>
          ) : (
            <b>
              {distrust.length === 0
                ? 'Nothing to do: tune on it.'
                : 'Nothing that a new take would have to do better.'}
            </b>
          )}
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
    </header>
  );
}
