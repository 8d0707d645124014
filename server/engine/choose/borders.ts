import { type GuardSettings, runGuard } from '../detect/guard.ts';
import { judgePresses } from '../detect/presses.ts';
import { intentOf } from '../labels/labels.ts';
import { isSwingSpeed, stepsOf } from './cost.ts';
import type { Suggestion } from './suggest.ts';
import type { ChoiceTake, GuardGrid } from './takeSweep.ts';

export type Side = 'lowerSpeed' | 'higherSpeed' | 'shorterHold' | 'longerHold';

/** What lies beyond one side of the plateau, along one setting with the other as suggested. */
export interface Border {
  readonly side: Side;
  /** The last value that is as good; the first that is worse is `beyond`, null where nothing is tried there. */
  readonly last: number;
  readonly beyond: number | null;
  /** What gets worse there (counts can also fall: another kind then rises by more). */
  readonly strays: number;
  readonly wanted: number;
  readonly reversals: number;
  /** More quiet time in which the guard is closed, in seconds. */
  readonly quietS: number;
}

const NOTHING_WORSE = { beyond: null, strays: 0, wanted: 0, reversals: 0, quietS: 0 };

/** A press that comes out wrong beyond a border and right at the suggestion. */
export interface LostPress {
  readonly side: Side;
  readonly takeId: string;
  readonly title: string;
  readonly downUs: number;
  readonly intent: 'wanted' | 'stray';
}

export function bordersOf({ plateau, cell }: Suggestion, grid: GuardGrid): Border[] {
  const { speedsDps, holdsMs } = grid;
  const holds = holdsMs.length;
  const step = (side: Side, axis: Float64Array, last: number, by: -1 | 1, stride: number): Border => {
    const index = axis.indexOf(last) + by;
    if (index < 0 || index >= axis.length) return { side, last, ...NOTHING_WORSE };
    if (axis === speedsDps && !isSwingSpeed(axis[index]!)) return { side, last, ...NOTHING_WORSE };
    const own = axis === speedsDps ? plateau.xIndex : plateau.yIndex;
    const there = cell + (index - own) * stride;
    return {
      side,
      last,
      beyond: axis[index]!,
      strays: grid.strayLetThrough[there]! - grid.strayLetThrough[cell]!,
      wanted: grid.wantedRefused[there]! - grid.wantedRefused[cell]!,
      ...stepsLost(grid, there, cell),
    };
  };
  const { xMargin, yMargin } = plateau;
  return [
    step('lowerSpeed', speedsDps, xMargin.low, -1, holds),
    step('higherSpeed', speedsDps, xMargin.high, 1, holds),
    step('shorterHold', holdsMs, yMargin.low, -1, 1),
    step('longerHold', holdsMs, yMargin.high, 1, 1),
  ];
}

/** The presses of a take that a step over each border loses. */
export function lostPresses(
  take: ChoiceTake,
  suggested: GuardSettings,
  borders: readonly Border[],
): LostPress[] {
  return lostBeyond(take, suggested, borders, (settings) => wrongPresses(take, settings));
}

/**
 * What comes out wrong beyond each border and right at the suggestion.
 * @param wrongWith  what comes out wrong with a setting: when it was, and what it was.
 */
export function lostBeyond(
  { id: takeId, title }: Pick<ChoiceTake, 'id' | 'title'>,
  suggested: GuardSettings,
  borders: readonly Border[],
  wrongWith: (settings: GuardSettings) => ReadonlyMap<number, 'wanted' | 'stray'>,
): LostPress[] {
  const wrong = wrongWith(suggested);
  return borders.flatMap(({ side, beyond }): LostPress[] => {
    if (beyond === null) return [];
    const isSpeed = side === 'lowerSpeed' || side === 'higherSpeed';
    return [...wrongWith({ ...suggested, [isSpeed ? 'speedDps' : 'holdMs']: beyond })]
      .filter(([downUs]) => !wrong.has(downUs))
      .map(([downUs, intent]) => ({ side, takeId, title, downUs, intent }));
  });
}

/** A labelled press that comes out wrong: when it went down, what it was, and why the guard decided as it did. */
export interface WrongVerdict {
  readonly downUs: number;
  readonly intent: 'wanted' | 'stray';
  readonly reason: string;
}

export function wrongVerdicts(take: ChoiceTake, settings: GuardSettings): WrongVerdict[] {
  const closed = runGuard(take.signals, settings);
  return judgePresses(take.signals, closed, take.presses, settings).flatMap(
    ({ press, accepted, reason }): WrongVerdict[] => {
      const intent = intentOf(take.labels, press)?.intent;
      return (intent === 'stray' && accepted === true) || (intent === 'wanted' && accepted === false)
        ? [{ downUs: press.downUs, intent, reason }]
        : [];
    },
  );
}

/** When the labelled presses went down that come out wrong, and what they were. */
export function wrongPresses(take: ChoiceTake, settings: GuardSettings): Map<number, 'wanted' | 'stray'> {
  return new Map(wrongVerdicts(take, settings).map(({ downUs, intent }) => [downUs, intent]));
}

/** Only whole steps make a setting worse; a few more within one are no reason. */
function stepsLost(grid: GuardGrid, there: number, here: number): { reversals: number; quietS: number } {
  const { reversals, reversalsOpen, quietS, quietClosedS } = grid;
  const isStep = (part: ArrayLike<number>, whole: number) =>
    stepsOf(part[there]!, whole) > stepsOf(part[here]!, whole);
  return {
    reversals: isStep(reversalsOpen, reversals) ? reversalsOpen[there]! - reversalsOpen[here]! : 0,
    quietS: isStep(quietClosedS, quietS) ? quietClosedS[there]! - quietClosedS[here]! : 0,
  };
}
