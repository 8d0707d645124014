import type { Decline as DeclineFact } from '../../../../server/engine/choose/decline.ts';
import type { MotionEvidence } from '../../../../server/engine/choose/motion/motionPart.ts';
import {
  agreementTexts,
  MOTION_BORDERS,
  motionBasisText,
  restsText,
} from '../../../../server/engine/choose/motion/motionWords.ts';
import type { Suggestion } from '../../../../server/engine/choose/suggest.ts';
import { borderText, claimText, marginTexts, roomText } from '../../../../server/engine/choose/words.ts';
import type { Candidate } from '../../../../server/engine/settings/candidate.ts';
import { patienceMs } from '../../../state/judging.ts';
import type { MotionVerdict } from '../../../sweep/jobs.ts';
import { demoCaution } from '../demoCaution.ts';
import { Figure } from '../Figure.tsx';
import { OutcomeFigures } from '../OutcomeFigures.tsx';
import { SuggestionFrame } from '../SuggestionFrame.tsx';
import { TakeIt } from '../TakeIt.tsx';
import { unitWords } from './unitWords.ts';

/** What motion alone would choose, plainly said to be that, and how it gets on with the presses that there are. */
export function MotionSuggestionCard(props: {
  readonly verdict: MotionVerdict | null;
  readonly evidence: readonly MotionEvidence[];
  readonly base: Candidate;
}) {
  const { verdict } = props;
  const choice = verdict?.choice;
  return (
    <SuggestionFrame
      title="Suggestion by motion alone"
      decline={choice?.kind === 'declined' ? choice.decline : null}
    >
      {verdict && choice?.kind === 'suggestion' ? (
        <Made {...props} verdict={verdict} suggestion={choice} />
      ) : null}
    </SuggestionFrame>
  );
}

function Made(props: {
  readonly suggestion: Suggestion;
  readonly verdict: MotionVerdict;
  readonly evidence: readonly MotionEvidence[];
  readonly base: Candidate;
}) {
  const { suggestion, verdict, base } = props;
  const { speedDps, holdMs, strayLetThrough: spins, wantedRefused: stops } = suggestion;
  const guard = { ...base.guard, speedDps, holdMs };
  return (
    <>
      <p class="headline">
        {speedDps} °/s, hold {holdMs} ms
      </p>
      <p class="caution-line" data-rests="motion">
        {restsText(patienceMs.value)}
      </p>
      <TakeIt part={{ smoothing: base.smoothing, guard }} />
      <p>{roomText(suggestion.plateau, 'The shortest hold')}</p>
      {marginTexts(suggestion).map((text) => (
        <p key={text}>{text}</p>
      ))}
      <dl class="figures">
        <Figure name="Spins open" {...unitWords(spins)} />
        <Figure name="Stops late" {...unitWords(stops)} />
        <OutcomeFigures suggestion={suggestion} />
      </dl>
      <p class="basis">
        {motionBasisText(props.evidence)}
        {demoCaution(props.evidence)}
      </p>
      <Beside verdict={verdict} />
      <h3>To claim more</h3>
      <p>{claimText(spins, 'spin')}</p>
      <p>{claimText(stops, 'stop')}</p>
      <h3>What would change its mind</h3>
      <ul class="borders">
        {verdict.wrong.map(({ takeId, title, downUs, intent }) => (
          <li key={`${takeId} ${intent} ${downUs}`}>
            Wrong even so: the {intent === 'stray' ? 'spin that begins' : 'stop'} at{' '}
            {(downUs / 1e6).toFixed(1)} s of {title}.
          </li>
        ))}
        {verdict.borders.map((border) => (
          <li key={border.side}>{borderText(border, verdict.lost, MOTION_BORDERS)}</li>
        ))}
      </ul>
    </>
  );
}

function Beside({ verdict: { agreement } }: { readonly verdict: MotionVerdict }) {
  if (agreement === null)
    return (
      <p data-agreement="none">No press is labelled here: nothing tells how well presses would agree.</p>
    );
  return (
    <div class="agreement" data-agreement="some">
      <h3>Beside the presses</h3>
      {agreementTexts(agreement, patienceMs.value).map((text) => (
        <p key={text}>{text}</p>
      ))}
    </div>
  );
}

/** Why it is not the presses that choose, and what they would need. */
export function ByPresses({ decline }: { readonly decline: DeclineFact }) {
  return (
    <section class="card sweep-note" aria-label="By presses" data-by-presses={decline.kind}>
      <header>
        <h2>Why not by presses</h2>
      </header>
      <p>{decline.text}</p>
      <ul class="borders">
        {decline.advice.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </section>
  );
}
