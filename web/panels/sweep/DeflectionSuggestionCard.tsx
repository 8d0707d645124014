import { areOfSeveral, ONE_AT_A_TIME } from '../../../server/engine/choose/decline.ts';
import type { DeflectionSuggestion } from '../../../server/engine/choose/deflectionChoice.ts';
import {
  deflectionBorderText,
  deflectionMarginTexts,
  swingBasisText,
  wrongDeflectionText,
} from '../../../server/engine/choose/deflectionWords.ts';
import type { SwingEvidence } from '../../../server/engine/choose/swingEvidence.ts';
import { claimText, roomText } from '../../../server/engine/choose/words.ts';
import { missesText } from '../../../server/engine/explain/missedSwings.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import type { DeflectionVerdict } from '../../sweep/jobs.ts';
import { countWords, Figure } from './Figure.tsx';
import { outsideWords } from './outsideWords.ts';
import { SuggestionFrame } from './SuggestionFrame.tsx';
import { TakeIt } from './TakeIt.tsx';

/** Where most swings deflect just once, how far that holds, on how much it rests, and what would change its mind. */
export function DeflectionSuggestionCard(props: {
  readonly verdict: DeflectionVerdict | null;
  readonly evidence: readonly SwingEvidence[];
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

/** More wrong deflections than this part of the swings: the suggestion is the best of a poor lot. */
const POOR_SHARE = 0.05;
/** So many of those that are wrong even so are named. */
const MOST_NAMED = 5;

function Made(props: {
  readonly suggestion: DeflectionSuggestion;
  readonly verdict: DeflectionVerdict;
  readonly evidence: readonly SwingEvidence[];
  readonly base: Candidate;
}) {
  const { suggestion, verdict, evidence, base } = props;
  const { speedDps, rearmRatio, once, missed, twice, outside, wrong, delayMs } = suggestion;
  const [speedMargin, rearmMargin] = deflectionMarginTexts(suggestion);
  const isPoor = wrong.k + outside > POOR_SHARE * once.n;
  const causes = causesText(verdict);
  const more = verdict.wrong.length - MOST_NAMED;
  return (
    <>
      <p class="headline">
        {speedDps} °/s, re-arm below {rearmRatio}
      </p>
      <TakeIt
        part={{ smoothing: base.smoothing, deflection: { ...base.deflection, speedDps, rearmRatio } }}
      />
      <p>{roomText(suggestion.plateau, 'The most central setting')}</p>
      <p>{speedMargin}</p>
      <p>{rearmMargin}</p>
      <dl class="figures">
        <Figure name="Deflect once" {...countWords(once)} />
        <Figure name="Missed" {...countWords(missed)} />
        <Figure name="Twice or more" {...countWords(twice)} />
        <Figure name="Outside swings" {...outsideWords(outside, evidence)} />
        {delayMs !== null && (
          <Figure name="Delay" value={`${delayMs.toFixed(0)} ms`} note="median, slowest take" />
        )}
      </dl>
      {causes !== '' && <p data-causes>Of the swings missed: {causes}.</p>}
      {isPoor && (
        <p>No setting does well on all of these swings.{areOfSeveral(evidence) && ` ${ONE_AT_A_TIME}`}</p>
      )}
      <p class="basis">
        {swingBasisText(evidence)} With the rest of {base.deflection.restMs} ms and the confirmation of{' '}
        {base.deflection.confirmMs} ms of the candidate under edit.
      </p>
      <h3>To claim more</h3>
      <p>{claimText(wrong, 'swing')}</p>
      <h3>What would change its mind</h3>
      <ul class="borders">
        {verdict.wrong.slice(0, MOST_NAMED).map((one) => (
          <li key={`${one.takeId} ${one.kind} ${one.atUs}`}>Wrong even so: {wrongDeflectionText(one)}</li>
        ))}
        {more > 0 && <li>And {more} more that are wrong even so.</li>}
        {verdict.borders.map((border) => (
          <li key={border.side}>{deflectionBorderText(border, verdict.lost)}</li>
        ))}
      </ul>
    </>
  );
}

/** For which cause the swings are missed, as Tune tells it; once they have been looked at. */
function causesText({ wrong }: DeflectionVerdict): string {
  return missesText(wrong.flatMap(({ reason }) => (reason ? [reason.cause] : [])));
}
