import { many } from '../../base/counted.ts';
import { areOfSeveral, type Decline, LEAST_PRESSES, unfit } from '../decline.ts';
import { MOST_WRONG_SHARE } from '../suggest.ts';
import type { GestureSuggestion } from './choice.ts';
import type { GestureEvidence } from './evidence.ts';
import { GESTURE_WORDS } from './gestureNames.ts';
import type { GestureMapKind } from './maps.ts';

/** Fewer gestures, or other movements, than this tell nothing, for the same reason as with presses. */
export const LEAST_GESTURES = LEAST_PRESSES;

/** What speaks against choosing at all, before any setting is looked at; null where nothing does. */
export function declineOnGestures(kind: GestureMapKind, takes: readonly GestureEvidence[]): Decline | null {
  const fit = takes.filter((take) => take.unfit === null);
  if (fit.length === 0) return unfit(takes);
  const total = (of: (take: GestureEvidence) => number) => fit.reduce((sum, take) => sum + of(take), 0);
  const gestures = total((take) => take.gestures);
  const others = total((take) => take.others);
  const confirm = confirmText(
    kind,
    total((take) => take.unconfirmed + take.proposed),
  );
  if (gestures === 0) return noLabels(kind, fit.length, confirm);
  return (
    contradictory(kind, fit) ??
    (others < LEAST_GESTURES ? oneClass(kind, gestures, others) : null) ??
    (gestures < LEAST_GESTURES ? tooFew(kind, gestures, confirm) : null)
  );
}

/** Where even the best of all settings does badly. */
export function noneGood(
  { map, missed, again, outside, gestures }: GestureSuggestion,
  evidence: readonly GestureEvidence[],
): Decline | null {
  if (missed.k + again + outside <= MOST_WRONG_SHARE * gestures) return null;
  const { one, several, fire } = GESTURE_WORDS[map];
  return {
    kind: 'noneGood',
    text: `No setting does well: the best of all still misses ${missed.k} of ${many(gestures, one, several)}, fires again in ${again}, and ${many(outside, 'time', 'times')} outside any.`,
    advice: [
      `Check the labels in Tune: has every ${one} one, and is every one of them really a ${one}?`,
      ...(areOfSeveral(evidence.filter((take) => take.gestures > 0))
        ? ['Look at one performer’s takes at a time: what is gentle for one may be nothing for another.']
        : []),
      `The ${fire}’s other settings, and the smoothing, of the candidate under edit hold for the whole map: try others.`,
    ],
  };
}

function noLabels(kind: GestureMapKind, takes: number, confirm: readonly string[]): Decline {
  const { one, record } = GESTURE_WORDS[kind];
  return {
    kind: 'noLabels',
    text: `No ${one} is labelled in ${takes === 1 ? 'this take' : 'these takes'}.`,
    advice: confirm.length > 0 ? confirm : [record],
  };
}

function contradictory(kind: GestureMapKind, takes: readonly GestureEvidence[]): Decline | null {
  const bad = takes.filter((take) => take.contradictionsUs.length > 0);
  if (bad.length === 0) return null;
  const { one, several } = GESTURE_WORDS[kind];
  const count = bad.reduce((sum, take) => sum + take.contradictionsUs.length, 0);
  return {
    kind: 'contradictory',
    text: `${many(count, `labelled ${one} lies`, `labelled ${several} lie`)} where the labels say that the blade is still.`,
    advice: bad.map(({ title, contradictionsUs }) => {
      const when = contradictionsUs.map((us) => `${(us / 1e6).toFixed(1)} s`).join(', ');
      return `${title}: decide on the ${contradictionsUs.length === 1 ? one : several} at ${when}.`;
    }),
  };
}

function oneClass(kind: GestureMapKind, gestures: number, others: number): Decline {
  const { one, several, fire, record } = GESTURE_WORDS[kind];
  return {
    kind: 'oneClass',
    text: `Beside ${many(gestures, `labelled ${one}`, `labelled ${several}`)} there ${others === 1 ? 'is' : 'are'} ${many(others, 'other movement', 'other movements')} to tell them from, and it takes ${LEAST_GESTURES}: a ${fire} that fires at anything would do nearly as well.`,
    advice: [
      `Only takes with a labelled ${one} tell what is none: in others nobody has said that a ${fire} would be false.`,
      record,
    ],
  };
}

function tooFew(kind: GestureMapKind, gestures: number, confirm: readonly string[]): Decline {
  const { one, several, record } = GESTURE_WORDS[kind];
  const lack = LEAST_GESTURES - gestures;
  return {
    kind: 'tooFew',
    text: `${many(gestures, `labelled ${one} is`, `labelled ${several} are`)} too few to tell settings apart: it takes ${LEAST_GESTURES}.`,
    advice: [...confirm, `Record ${many(lack, `more ${one}`, `more ${several}`)} or more.`, record],
  };
}

function confirmText(kind: GestureMapKind, unconfirmed: number): string[] {
  if (unconfirmed === 0) return [];
  const { one, several } = GESTURE_WORDS[kind];
  return [
    `Open Tune and look at ${many(unconfirmed, `${one} that is`, `${several} that are`)} proposed there: confirm those that are real.`,
  ];
}
