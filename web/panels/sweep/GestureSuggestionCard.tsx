import type { GestureSuggestion } from '../../../server/engine/choose/gestures/choice.ts';
import type { GestureEvidence } from '../../../server/engine/choose/gestures/evidence.ts';
import { GESTURE_WORDS } from '../../../server/engine/choose/gestures/gestureNames.ts';
import { type GestureMapKind, gestureMap, withXY } from '../../../server/engine/choose/gestures/maps.ts';
import {
  gestureBasisText,
  gestureBorderText,
  gestureMarginTexts,
  tightText,
  wrongGestureText,
} from '../../../server/engine/choose/gestures/words.ts';
import { claimText, roomText } from '../../../server/engine/choose/words.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import type { GestureVerdict } from '../../sweep/jobs.ts';
import { countWords, Figure } from './Figure.tsx';
import { shownMs } from './gestureLayers.ts';
import { outsideWords } from './outsideWords.ts';
import { SuggestionFrame } from './SuggestionFrame.tsx';
import { TakeIt } from './TakeIt.tsx';

interface Props {
  readonly kind: GestureMapKind;
  readonly verdict: GestureVerdict | null;
  readonly evidence: readonly GestureEvidence[];
  /** The candidate whose smoothing and rules the map was drawn with. */
  readonly base: Candidate;
}

/** Where most gestures fire and little else does, how far that holds, on how much it rests, and what would change its mind. */
export function GestureSuggestionCard(props: Props) {
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

/** So many of those that are wrong even so are named. */
const MOST_NAMED = 5;

function Made(props: Props & { readonly suggestion: GestureSuggestion; readonly verdict: GestureVerdict }) {
  const { kind, suggestion, verdict, evidence, base } = props;
  const { x, y, missed, again, outside, delayMs } = suggestion;
  const { one, several, fires, setting } = GESTURE_WORDS[kind];
  const [xMargin, yMargin] = gestureMarginTexts(suggestion);
  const tight = tightText(suggestion);
  const more = verdict.wrong.length - MOST_NAMED;
  return (
    <>
      <p class="headline">{setting(x, y)}</p>
      <TakeIt part={partOf(base, suggestion)} />
      <p>{roomText(suggestion.plateau, 'The most central setting')}</p>
      {tight !== '' && <p>{tight}</p>}
      <p>{xMargin}</p>
      <p>{yMargin}</p>
      <dl class="figures">
        <Figure name="Missed" {...countWords(missed)} />
        <Figure name={`Again at the same ${one}`} value={String(again)} />
        <Figure name={`Outside ${several}`} {...outsideWords(outside, evidence)} />
        {delayMs !== null && <Figure name="Delay" value={shownMs(delayMs)} note="median, slowest take" />}
      </dl>
      <p class="basis">
        {gestureBasisText(kind, evidence)} {ALONG[kind]}
      </p>
      <h3>To claim more</h3>
      <p>{claimText(missed, gestureMap(kind).gesture)}</p>
      <h3>What would change its mind</h3>
      <ul class="borders">
        {verdict.wrong.slice(0, MOST_NAMED).map((wrong) => (
          <li key={`${wrong.takeId} ${wrong.kind} ${wrong.atUs}`}>
            Wrong even so: {wrongGestureText(kind, wrong)}
          </li>
        ))}
        {more > 0 && (
          <li>
            And {more} more {several} or {fires} that are wrong even so.
          </li>
        )}
        {verdict.borders.map((border) => (
          <li key={`${border.axis} ${border.by}`}>{gestureBorderText(kind, border, verdict.lost)}</li>
        ))}
      </ul>
    </>
  );
}

/** What else of the candidate under edit the map rests on, and what else rests on the setting. */
const ALONG: Readonly<Record<GestureMapKind, string>> = {
  stab: 'With the smoothing, the stab’s other settings and the impact’s of the candidate under edit, which come along.',
  impact:
    'With the smoothing and the impact’s other settings of the candidate under edit, which come along. A stab’s hit is told by a part of this level: look at the map of Stab afterwards.',
  twist: 'With the smoothing and the twist’s other settings of the candidate under edit, which come along.',
};

/** What is taken into a candidate: the setting, and all else that the map rests on. */
function partOf(base: Candidate, { map, x, y }: GestureSuggestion): Partial<Candidate> {
  const set = withXY(base, map, x, y);
  const groups = gestureMap(map).restsOn.map((group) => [group, set[group]]);
  return { smoothing: base.smoothing, ...Object.fromEntries(groups) };
}
