import type { ComponentChildren } from 'preact';
import type { Evidence } from '../../../server/engine/choose/problem.ts';
import type { Suggestion } from '../../../server/engine/choose/suggest.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import type { SweepGrid } from '../../../server/engine/sweep/grid.ts';
import { PROBLEM_WORDS } from '../../../server/engine/words/choose/problems.ts';
import {
  borderText,
  claimTexts,
  marginTexts,
  roomText,
  tightText,
} from '../../../server/engine/words/choose/suggestion.ts';
import { takesInScope } from '../../state/takeInputs.ts';
import type { ChoiceResult } from '../../sweep/jobs.ts';
import { Fold } from '../Fold.tsx';
import { MountLine } from '../MountLine.tsx';
import { showOnStaves } from '../reversals/showOnStaves.ts';
import { flipsText } from './ChecksCard.tsx';
import { Decline } from './Decline.tsx';
import { Figure } from './Figure.tsx';
import type { MapView } from './maps/mapView.ts';
import { TakeIt } from './TakeIt.tsx';

interface Props<Part extends string, Grid extends SweepGrid<Part>, Own extends Evidence, Why> {
  readonly view: MapView<Part, Grid, Own, Why>;
  readonly result: ChoiceResult<Part, Why> | null;
  readonly evidence: readonly Own[];
  /** The candidate whose smoothing and rules the map was drawn with. */
  readonly base: Candidate;
  readonly title?: string;
  /** On what it rests, where that must be read before anything else. */
  readonly caution?: ComponentChildren;
  /** What else there is to know, once something is suggested. */
  readonly beside?: ComponentChildren;
}

/** What the program would choose, how far that holds, on how much it rests, and what would change it; or why nothing. */
export function SuggestionCard<Part extends string, Grid extends SweepGrid<Part>, Own extends Evidence, Why>(
  props: Props<Part, Grid, Own, Why>,
) {
  const { result, title = 'Suggestion' } = props;
  const choice = result?.choice;
  return (
    <section class="card suggestion" data-choice={choice?.kind}>
      <header>
        <h2>{title}</h2>
      </header>
      {!result || !choice ? (
        <p class="quiet">Comes once all takes are swept and their signals checked.</p>
      ) : choice.kind === 'declined' ? (
        <>
          <Decline decline={choice.decline} />
          <WrongAtBest view={props.view} wrong={result.wrong} />
        </>
      ) : (
        <Made {...props} suggestion={choice} result={result} />
      )}
    </section>
  );
}

/** What even the best setting gets wrong, each a click away from where it can be looked at. */
function WrongAtBest<Part extends string, Grid extends SweepGrid<Part>, Own extends Evidence, Why>(props: {
  readonly view: MapView<Part, Grid, Own, Why>;
  readonly wrong: ChoiceResult<Part, Why>['wrong'];
}) {
  const { view, wrong } = props;
  if (wrong.length === 0) return null;
  const more = wrong.length - MOST_REACHED;
  return (
    <ul class="borders" aria-label="Wrong at the best of all settings">
      {wrong.slice(0, MOST_REACHED).map((one) => (
        <li key={`${one.takeId} ${one.part} ${one.atUs}`}>
          Wrong even there: {view.wrongText(one)} <ToTune at={one} />
        </li>
      ))}
      {more > 0 && <li>And {more} more.</li>}
    </ul>
  );
}

function ToTune({
  at: { takeId, atUs },
}: {
  readonly at: { readonly takeId: string; readonly atUs: number };
}) {
  return (
    <button type="button" class="small" onClick={() => showOnStaves(takeId, atUs)}>
      Look at it in Tune
    </button>
  );
}

const MOST_REACHED = 12;

/** The number of wrong events that are named, where not all are. */
const MOST_NAMED = 5;

function Made<Part extends string, Grid extends SweepGrid<Part>, Own extends Evidence, Why>(
  props: Props<Part, Grid, Own, Why> & {
    readonly suggestion: Suggestion<Part>;
    readonly result: ChoiceResult<Part, Why>;
  },
) {
  const { view, suggestion, result, evidence, base } = props;
  const { kind } = view.problem;
  const { x, y } = suggestion;
  const { smoothing } = base;
  const named = view.moreWrong === undefined ? result.wrong : result.wrong.slice(0, MOST_NAMED);
  const more = result.wrong.length - named.length;
  const tight = tightText(kind, suggestion);
  const flips = flipsText(view, result.stress);
  return (
    <>
      <p class="headline">{PROBLEM_WORDS[kind].setting(x, y)}</p>
      {props.caution}
      {kind !== 'impact' && <MountLine takes={takesInScope.value} />}
      <TakeIt part={{ smoothing, ...view.taken(base, x, y) }} />
      <dl class="figures">
        {view.figures(suggestion, evidence).map((figure) => (
          <Figure key={figure.name} {...figure} />
        ))}
      </dl>
      {marginTexts(kind, suggestion).map((text) => (
        <p key={text}>{text}</p>
      ))}
      {flips !== '' && (
        <p class="caution-line" data-stress="flips">
          {flips}
        </p>
      )}
      {view.remarks?.(suggestion, result, evidence)}
      <p class="basis">{view.basis(evidence, base)}</p>
      {props.beside}
      <Fold name="Why this one">
        {view.moreFigures && (
          <dl class="figures">
            {view.moreFigures(suggestion).map((figure) => (
              <Figure key={figure.name} {...figure} />
            ))}
          </dl>
        )}
        <p>{roomText(kind, suggestion)}</p>
        {tight !== '' && <p>{tight}</p>}
        <h3>To claim more</h3>
        {claimTexts(kind, suggestion).map((text) => (
          <p key={text}>{text}</p>
        ))}
        <h3>What would change it</h3>
        <ul class="borders">
          {named.map((wrong) => (
            <li key={`${wrong.takeId} ${wrong.part} ${wrong.atUs}`}>
              Wrong even so: {view.wrongText(wrong)} <ToTune at={wrong} />
            </li>
          ))}
          {more > 0 && (
            <li>
              And {more} more{view.moreWrong} that are wrong even so.
            </li>
          )}
          {result.borders.map((border) => (
            <li key={`${border.axis} ${border.by}`}>{borderText(kind, border, result.lost)}</li>
          ))}
        </ul>
      </Fold>
    </>
  );
}
