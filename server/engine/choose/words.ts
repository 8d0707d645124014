import { many } from '../base/counted.ts';
import { ENOUGH_ROOM, type Margin, type Plateau, type Rise } from '../sweep/plateau.ts';
import { SWING_MIN_PEAK_DPS } from '../truth/swings.ts';
import type { Border, LostPress, Side } from './borders.ts';
import { CLAIMED_SHARE, type Wrong } from './claim.ts';
import type { Suggestion } from './suggest.ts';

/** How far the suggestion stays as good, one sentence a setting: "holds from 190 to 310 °/s at 120 ms". */
export function marginTexts(suggestion: Suggestion): [string, string] {
  const { plateau, speedDps, holdMs } = suggestion;
  const { xMargin, yMargin } = plateau;
  return [
    `Holds from ${xMargin.low} to ${xMargin.high} °/s at ${holdMs} ms${toleranceText(suggestion, 'x')}.${openMarginText(xMargin, '°/s', 'fast')}`,
    `Holds from ${yMargin.low} to ${yMargin.high} ms at ${speedDps} °/s${toleranceText(suggestion, 'y')}.${openMarginText(yMargin, 'ms', 'long')}`,
  ];
}

/** That the end of what was tried is no margin; empty where something worse lies within it. */
export function openMarginText(
  { high, reachesHighEnd }: Margin,
  unit: string,
  much: 'fast' | 'long',
): string {
  if (!reachesHighEnd) return '';
  return ` ${high} ${unit} is the ${much}est tried, no margin: nothing here tells how ${much} it may be.`;
}

const ENOUGH_PERCENT = `${100 * ENOUGH_ROOM} %`;

/** By what rule the setting was chosen among the best ones, and how much room it has. */
export function roomText({ room }: Pick<Plateau, 'room'>, what: string): string {
  if (room >= ENOUGH_ROOM - 1e-9)
    return `${what} that can change by ${ENOUGH_PERCENT}, both settings at once, before anything is known to get worse.`;
  return `No setting can change by ${ENOUGH_PERCENT} before anything gets worse: this one can by most, ${Math.floor(100 * room)} %.`;
}

/** What of a plateau is not quite as good: less than a step of the cost. */
function toleranceText(suggestion: Suggestion, axis: keyof Rise): string {
  const { reversals, moreOpen, quietS, moreClosedS } = suggestion;
  const more = [
    ...(moreOpen[axis] > 0
      ? [`${moreOpen[axis]} more of ${many(reversals, 'reversal', 'reversals')} open`]
      : []),
    ...(moreClosedS[axis] >= 0.05
      ? [`${moreClosedS[axis].toFixed(1)} s more of ${quietS.toFixed(1)} s of quiet time closed`]
      : []),
  ];
  return more.length === 0 ? '' : `, with at most ${more.join(' and ')}`;
}

/** What is counted of a claim: in the singular, in the plural, and what would go wrong with it. */
export interface Claimed {
  readonly one: string;
  readonly several: string;
  readonly wrong: string;
}

export const CLAIMED = {
  stray: { one: 'stray press', several: 'stray presses', wrong: 'let through' },
  wanted: { one: 'wanted press', several: 'wanted presses', wrong: 'refused' },
  swing: { one: 'swing', several: 'swings', wrong: 'missed or doubled' },
  thrust: { one: 'thrust', several: 'thrusts', wrong: 'missed' },
  hit: { one: 'hit', several: 'hits', wrong: 'missed' },
  twist: { one: 'twist', several: 'twists', wrong: 'missed' },
  spin: { one: 'spin', several: 'spins', wrong: 'open too long' },
  stop: { one: 'stop', several: 'stops', wrong: 'late' },
} as const satisfies Record<string, Claimed>;

/** What the counts allow to be claimed. */
export function claimText({ k, n, interval, moreForClaim }: Wrong, kind: keyof typeof CLAIMED): string {
  const limit = `less than 1 in ${1 / CLAIMED_SHARE}`;
  const { one, several, wrong: what } = CLAIMED[kind];
  if (moreForClaim === 0) return `Enough ${several} to claim that ${limit} is ${what}.`;
  if (interval !== null && interval.low > CLAIMED_SHARE)
    return `${k} of ${n} ${several} ${k === 1 ? 'is' : 'are'} ${what}, surely more than 1 in ${1 / CLAIMED_SHARE}: more of the same will not change that.`;
  const wrong = k === 0 ? 'none' : `none but the ${k} above`;
  return `${moreForClaim} more ${moreForClaim === 1 ? one : several} (${n + moreForClaim} in all), ${wrong} of them ${what}, to claim ${limit}.`;
}

/** What lies beyond one side of the plateau, and the press that says so. */
export function borderText(
  border: Border,
  lost: readonly LostPress[],
  units: BorderUnits = PRESS_BORDERS,
): string {
  const { side, last, beyond, strays, wanted, reversals, quietS } = border;
  if (beyond === null) return units.openEnd(side, last);
  const worse = [
    ...(strays > 0 ? [units.strays(strays)] : []),
    ...(wanted > 0 ? [units.wanted(wanted)] : []),
    ...(reversals > 0 ? [`${many(reversals, 'more reversal', 'more reversals')} would be open`] : []),
    ...(quietS > 0 ? [`${quietS.toFixed(1)} s more of quiet time would be closed`] : []),
  ];
  const first = lost.find((press) => press.side === side);
  const example = first ? ` (${first.title}, ${(first.downUs / 1e6).toFixed(1)} s)` : '';
  return `${SIDE_WORDS[side]} ${last} ${UNIT[side]}: ${worse.join(', ')}${example}.`;
}

/** What a border's counts are called. */
export interface BorderUnits {
  strays(count: number): string;
  wanted(count: number): string;
  /** Where nothing gets worse, or nothing was tried. */
  openEnd(side: Side, last: number): string;
}

const PRESS_BORDERS: BorderUnits = {
  strays: (count) => `${many(count, 'stray press', 'stray presses')} would slip through`,
  wanted: (count) => `${many(count, 'wanted press', 'wanted presses')} would be refused`,
  openEnd: openEndText,
};

const SIDE_WORDS: Readonly<Record<Side, string>> = {
  lowerSpeed: 'Below',
  higherSpeed: 'Above',
  shorterHold: 'Below',
  longerHold: 'Above',
};

const UNIT: Readonly<Record<Side, string>> = {
  lowerSpeed: '°/s',
  higherSpeed: '°/s',
  shorterHold: 'ms',
  longerHold: 'ms',
};

function openEndText(side: Side, last: number): string {
  switch (side) {
    case 'lowerSpeed':
      return last < SWING_MIN_PEAK_DPS + 10
        ? `Below ${last} °/s is no swing, so nothing is suggested there. No press here speaks against a speed as low as that; wanted presses in a brisk carry might.`
        : `Below ${last} °/s nothing was tried.`;
    case 'higherSpeed':
      return `Above ${last} °/s nothing was tried.`;
    case 'shorterHold':
      return 'Even without a hold it would do as well here: no press or reversal needs one.';
    case 'longerHold':
      return `Above ${last} ms nothing was tried: no press here tells how long the hold may be. Record wanted presses soon after a stop.`;
  }
}

/** Says that a range goes up to where nothing more was tried. */
export function endText(reaches: boolean, words: string): string {
  return reaches ? ` (${words})` : '';
}

/** Which takes are left out, and why; empty where none is. */
export function unfitText(
  evidence: readonly { readonly title: string; readonly unfit: string | null }[],
): string {
  const unfit = evidence.filter((take) => take.unfit !== null);
  if (unfit.length === 0) return '';
  return ` Left out as unfit: ${unfit.map((take) => `${take.title} (${take.unfit})`).join('; ')}.`;
}
