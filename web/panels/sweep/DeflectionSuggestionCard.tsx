import type { Candidate } from '../../../server/engine/candidate.ts';
import type { DeflectionSuggestion } from '../../../server/engine/choose/deflectionChoice.ts';
import { TakeIt } from './TakeIt.tsx';

/** The middle of the plateau on which most swings deflect just once. */
export function DeflectionSuggestionCard(props: {
  readonly suggestion: DeflectionSuggestion | null;
  readonly swings: number | null;
  readonly base: Candidate;
}) {
  const { suggestion, base, swings } = props;
  return (
    <section class="card suggestion" aria-label="Suggestion">
      <header>
        <h2>Suggestion</h2>
        <span class="unit">the most central point of the best plateau</span>
      </header>
      {suggestion === null ? (
        <p class={swings === 0 ? '' : 'quiet'}>
          {swings === 0
            ? 'There is no swing in these takes. Record single swings with a full stop between, slow ones and fast ones.'
            : 'Comes once all takes are swept.'}
        </p>
      ) : (
        <Made suggestion={suggestion} base={base} />
      )}
    </section>
  );
}

/** More wrong deflections than this part of the swings: the suggestion is the best of a poor lot. */
const POOR_SHARE = 0.05;

function Made({ suggestion, base }: { readonly suggestion: DeflectionSuggestion; readonly base: Candidate }) {
  const { speedDps, rearmRatio, plateau, once } = suggestion;
  const { xMargin, yMargin } = plateau;
  const interval = once.interval;
  const isPoor = suggestion.missed + suggestion.twice + suggestion.outside > POOR_SHARE * once.n;
  return (
    <>
      <p class="headline">
        {speedDps} °/s, re-arm below {rearmRatio}
      </p>
      <TakeIt
        part={{ smoothing: base.smoothing, deflection: { ...base.deflection, speedDps, rearmRatio } }}
      />
      <p>
        Holds from {xMargin.low} to {xMargin.high} °/s at a re-arm of {rearmRatio}.
      </p>
      <p>
        Holds from {yMargin.low} to {yMargin.high} at {speedDps} °/s.
      </p>
      <dl class="figures">
        <div>
          <dt>Deflect once</dt>
          <dd>
            <b>
              {once.k} / {once.n}
            </b>
            {interval && (
              <span class="quiet">
                {' '}
                95 %: {(interval.low * 100).toFixed(0)}–{(interval.high * 100).toFixed(0)} %
              </span>
            )}
          </dd>
        </div>
        <div>
          <dt>Missed · double · outside</dt>
          <dd>
            <b>
              {suggestion.missed} · {suggestion.twice} · {suggestion.outside}
            </b>
          </dd>
        </div>
        {suggestion.delayMs !== null && (
          <div>
            <dt>Delay</dt>
            <dd>
              <b>{suggestion.delayMs.toFixed(0)} ms</b> <span class="quiet">median, slowest take</span>
            </dd>
          </div>
        )}
      </dl>
      {isPoor && (
        <p>
          No setting does well on all of these swings. Look at one performer’s takes at a time: a gentle swing
          of one may be slower than the pauses of another.
        </p>
      )}
      <p class="basis">
        With the rest of {base.deflection.restMs} ms and the confirmation of {base.deflection.confirmMs} ms of
        the candidate under edit. Swings are those that are labelled, and the program’s proposals elsewhere.
      </p>
    </>
  );
}
