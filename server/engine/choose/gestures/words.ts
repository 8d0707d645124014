import { many } from '../../base/counted.ts';
import type { Margin } from '../../sweep/plateau.ts';
import { unfitText } from '../words.ts';
import type { GestureBorder, LostGesture, WrongGesture } from './borders.ts';
import type { GestureSuggestion } from './choice.ts';
import type { GestureEvidence } from './evidence.ts';
import { GESTURE_WORDS } from './gestureNames.ts';
import { type GestureMapKind, gestureMap, type SweptSetting } from './maps.ts';

type Named = Pick<SweptSetting<never>, 'noun' | 'unit'>;

/** How far the suggestion stays as good, one sentence a setting. */
export function gestureMarginTexts({
  map,
  plateau,
  moreWrong,
  gestures,
}: GestureSuggestion): [string, string] {
  const { x, y } = gestureMap(map);
  const { xMargin, yMargin } = plateau;
  const tolerance = (more: number) =>
    more > 0 ? `, with at most ${more} more of ${gestures} going wrong` : '';
  const sentence = (swept: Named, margin: Margin, other: string, more: number) =>
    `Holds for ${swept.noun} of ${margin.low} to ${withUnit(margin.high, swept.unit)} at ${other}${tolerance(more)}.${openText(swept, margin)}`;
  return [
    sentence(x, xMargin, place(y, plateau.y), moreWrong.x),
    sentence(y, yMargin, place(x, plateau.x), moreWrong.y),
  ];
}

/** Which ends of a margin are only those of what was tried. Below 0 there is nothing to try. */
function openText({ unit }: Named, { low, high, reachesLowEnd, reachesHighEnd }: Margin): string {
  const text = (value: number, most: 'least' | 'most') =>
    ` ${withUnit(value, unit)} is the ${most} tried, no margin.`;
  return `${reachesLowEnd && low > 0 ? text(low, 'least') : ''}${reachesHighEnd ? text(high, 'most') : ''}`;
}

/** That fewer wrong can be had, and at what price; empty where the fewest are. */
export function tightText({ plateau, fewestWrong, missed, again, outside }: GestureSuggestion): string {
  const more = missed.k + again + outside - fewestWrong;
  if (plateau.tightRoom === null || more === 0) return '';
  return `${fewestWrong === 0 ? 'None wrong' : `${fewestWrong} wrong`} can be had, but by no setting that can change by more than ${Math.floor(100 * plateau.tightRoom)} %: here ${more} more ${more === 1 ? 'is' : 'are'} wrong.`;
}

/** What lies beyond one side of the plateau, and the first gesture or fire that says so. */
export function gestureBorderText(
  kind: GestureMapKind,
  border: GestureBorder,
  lost: readonly LostGesture[],
): string {
  const { axis, by, last, beyond, missed, again, outside } = border;
  const swept = gestureMap(kind)[axis];
  const { one, several, fire, fires } = GESTURE_WORDS[kind];
  const from = `${by < 0 ? 'Below' : 'Above'} ${place(swept, last)}`;
  if (beyond === null) {
    return last === 0 && by < 0
      ? `Even ${place(swept, 0)} does as well here.`
      : `${from} nothing was tried: no ${by < 0 ? fire : one} here speaks against it.`;
  }
  const worse = [
    ...(missed > 0 ? [`${many(missed, `more ${one}`, `more ${several}`)} would be missed`] : []),
    ...(again > 0 ? [`${many(again, `more ${one} would fire`, `more ${several} would fire`)} again`] : []),
    ...(outside > 0
      ? [`${many(outside, `more ${fire}`, `more ${fires}`)} would come outside any ${one}`]
      : []),
  ];
  const kinds = { missed, again, outside };
  const first = lost.find((wrong) => wrong.axis === axis && wrong.by === by && kinds[wrong.kind] > 0);
  const example = first ? ` (${first.title}, ${seconds(first.atUs)})` : '';
  return `${from}: ${worse.join(', ')}${example}.`;
}

/** What goes wrong at the suggestion itself. */
export function wrongGestureText(
  kind: GestureMapKind,
  wrong: WrongGesture & { readonly title: string; readonly cause?: string | null },
): string {
  const { one, fire } = GESTURE_WORDS[kind];
  const when = `${seconds(wrong.atUs)} of ${wrong.title}`;
  switch (wrong.kind) {
    case 'missed':
      return `the ${one} at ${when} is missed${wrong.cause ? `: ${wrong.cause}` : ''}.`;
    case 'again':
      return `the ${fire} at ${when} is a second one for the same ${one}.`;
    case 'outside':
      return `the ${fire} at ${when} lies outside any ${one}.`;
  }
}

/** Whose gestures the counts rest on. */
export function gestureBasisText(kind: GestureMapKind, evidence: readonly GestureEvidence[]): string {
  const fit = evidence.filter((take) => take.unfit === null);
  const { one, several, fire } = GESTURE_WORDS[kind];
  const total = (of: (take: GestureEvidence) => number) => fit.reduce((sum, take) => sum + of(take), 0);
  const simulated = total(({ by }) => by.simulation);
  const unconfirmed = total((take) => take.unconfirmed);
  const proposed = total((take) => (take.outsideS > 0 ? take.proposed : 0));
  const silent = fit.filter(({ outsideS }) => outsideS === 0).length;
  const parts = [
    `${many(
      total(({ by }) => by.person),
      one,
      several,
    )} labelled by a person`,
    ...(simulated > 0 ? [`${simulated} by the simulation`] : []),
  ];
  const outside = `${many(
    total(({ others }) => others),
    'other movement',
    'other movements',
  )} in ${total(({ outsideS }) => outsideS).toFixed(0)} s`;
  return [
    `Rests on ${parts.join(', ')}, and ${outside} at which it is to keep silent.`,
    ...(unconfirmed > 0
      ? [
          `${many(unconfirmed, `${one} that only the program has labelled counts`, `${several} that only the program has labelled count`)} for nothing.`,
        ]
      : []),
    ...(proposed > 0
      ? [
          `In Tune ${many(proposed, `more ${one} is`, `more ${several} are`)} proposed: until somebody confirms ${proposed === 1 ? 'it' : 'them'}, a ${fire} there counts as false.`,
        ]
      : []),
    ...(silent > 0
      ? [
          `${many(silent, 'take holds', 'takes hold')} no labelled ${one} and so ${silent === 1 ? 'says' : 'say'} nothing of a false ${fire}.`,
        ]
      : []),
  ]
    .join(' ')
    .concat(unfitText(evidence));
}

/** As in "a thrust of 1 g". */
function place({ noun, unit }: Named, value: number): string {
  return `${noun} of ${withUnit(value, unit)}`;
}

function withUnit(value: number, unit: string): string {
  return unit === '°' ? `${value}°` : `${value} ${unit}`;
}

function seconds(us: number): string {
  return `${(us / 1e6).toFixed(1)} s`;
}
