import type { TakeEvidence } from '../../../server/engine/choose/evidence.ts';
import type { Suggestion } from '../../../server/engine/choose/suggest.ts';
import {
  borderText,
  claimText,
  marginTexts,
  roomText,
  unfitText,
} from '../../../server/engine/choose/words.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { counted } from '../../../server/engine/words/count.ts';
import type { GuardVerdict } from '../../sweep/jobs.ts';
import { demoCaution } from './demoCaution.ts';
import { countWords, Figure } from './Figure.tsx';
import { OutcomeFigures } from './OutcomeFigures.tsx';
import { SuggestionFrame } from './SuggestionFrame.tsx';
import { TakeIt } from './TakeIt.tsx';

/** What the program would choose, how far that holds, on how much it rests, and what would change its mind. */
export function SuggestionCard(props: {
  readonly verdict: GuardVerdict | null;
  readonly evidence: readonly TakeEvidence[];
  /** The candidate whose smoothing and rules the map was drawn with. */
  readonly base: Candidate;
}) {
  const { verdict } = props;
  const choice = verdict?.choice;
  return (
    <SuggestionFrame decline={choice?.kind === 'declined' ? choice.decline : null}>
      {verdict && choice?.kind === 'suggestion' ? (
        <Made {...props} suggestion={choice} verdict={verdict} />
      ) : null}
    </SuggestionFrame>
  );
}

function Made(props: {
  readonly suggestion: Suggestion;
  readonly verdict: GuardVerdict;
  readonly evidence: readonly TakeEvidence[];
  readonly base: Candidate;
}) {
  const { suggestion, verdict, base } = props;
  const { speedDps, holdMs } = suggestion;
  const [speedMargin, holdMargin] = marginTexts(suggestion);
  const guard = { ...base.guard, speedDps, holdMs };
  return (
    <>
      <p class="headline">
        {speedDps} °/s, hold {holdMs} ms
      </p>
      <TakeIt part={{ smoothing: base.smoothing, guard }} />
      <p>{roomText(suggestion.plateau, 'The shortest hold')}</p>
      <p>{speedMargin}</p>
      <p>{holdMargin}</p>
      <dl class="figures">
        <Figure name="Strays let through" {...countWords(suggestion.strayLetThrough)} />
        <Figure name="Wanted refused" {...countWords(suggestion.wantedRefused)} />
        <OutcomeFigures suggestion={suggestion} />
      </dl>
      <p class="basis">{basisText(props.evidence)}</p>
      <h3>To claim more</h3>
      <p>{claimText(suggestion.strayLetThrough, 'stray')}</p>
      <p>{claimText(suggestion.wantedRefused, 'wanted')}</p>
      <h3>What would change its mind</h3>
      <ul class="borders">
        {verdict.wrong.map((press) => (
          <li key={`${press.takeId} ${press.downUs}`}>
            Wrong even so: the {press.intent} press at {(press.downUs / 1e6).toFixed(1)} s of {press.title}
            {press.reason && `, ${press.reason}`}. Check its label.
          </li>
        ))}
        {verdict.borders.map((border) => (
          <li key={border.side}>{borderText(border, verdict.lost)}</li>
        ))}
      </ul>
    </>
  );
}

/** Whose labels the counts rest on: a proposal is never scored in silence. */
function basisText(evidence: readonly TakeEvidence[]): string {
  const fit = evidence.filter((take) => take.unfit === null);
  const total = (by: 'person' | 'program' | 'simulation') => fit.reduce((sum, take) => sum + take.by[by], 0);
  const unlabelled = fit.reduce((sum, take) => sum + take.unlabelled + take.unjudged, 0);
  const parts = [
    `${counted(total('person'), 'press label')} by a person`,
    ...(total('simulation') > 0 ? [`${total('simulation')} by the simulation`] : []),
    ...(total('program') > 0 ? [`${total('program')} proposed by the program and not confirmed`] : []),
    ...(unlabelled > 0
      ? [`${counted(unlabelled, 'press', 'presses')} left out for want of a label or of data`]
      : []),
  ];
  return `Rests on ${parts.join(', ')}.${demoCaution(evidence)}${unfitText(evidence)}`;
}
