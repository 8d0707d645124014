import type { DeflectionSettings } from '../detect/deflection.ts';
import { isSwingSpeed } from './cost.ts';
import type { DeflectionOutcome, DeflectionSuggestion } from './deflectionChoice.ts';
import { type WrongDeflection, wrongDeflections } from './deflectionVerdicts.ts';
import type { ChoiceTake } from './takeSweep.ts';

export type DeflectionSide = 'lowerSpeed' | 'higherSpeed' | 'lowerRearm' | 'higherRearm';

/** What lies beyond one side of the plateau, along one setting with the other as suggested. */
export interface DeflectionBorder {
  readonly side: DeflectionSide;
  /** The last value that is as good; the first that is worse is `beyond`, null where nothing is tried there. */
  readonly last: number;
  readonly beyond: number | null;
  /** What gets worse there (counts can also fall: another kind then rises by more). */
  readonly missed: number;
  readonly twice: number;
  readonly outside: number;
}

/** What goes wrong beyond a border and is right at the suggestion. */
export interface LostDeflection extends WrongDeflection {
  readonly side: DeflectionSide;
  readonly takeId: string;
  readonly title: string;
}

export function deflectionBorders(
  { plateau, cell }: DeflectionSuggestion,
  grid: DeflectionOutcome,
): DeflectionBorder[] {
  const { speedsDps, rearmRatios } = grid;
  const ratios = rearmRatios.length;
  const step = (side: DeflectionSide, axis: Float64Array, last: number, by: -1 | 1): DeflectionBorder => {
    const isSpeed = axis === speedsDps;
    const index = axis.indexOf(last) + by;
    const beyond = axis[index];
    if (beyond === undefined || (isSpeed && !isSwingSpeed(beyond)))
      return { side, last, beyond: null, missed: 0, twice: 0, outside: 0 };
    const there = cell + (isSpeed ? (index - plateau.xIndex) * ratios : index - plateau.yIndex);
    const more = (counts: Int32Array) => counts[there]! - counts[cell]!;
    const { missed, twice, outside } = grid;
    return { side, last, beyond, missed: more(missed), twice: more(twice), outside: more(outside) };
  };
  const { xMargin, yMargin } = plateau;
  return [
    step('lowerSpeed', speedsDps, xMargin.low, -1),
    step('higherSpeed', speedsDps, xMargin.high, 1),
    step('lowerRearm', rearmRatios, yMargin.low, -1),
    step('higherRearm', rearmRatios, yMargin.high, 1),
  ];
}

/** What a step over each border loses in a take. */
export function lostDeflections(
  take: Pick<ChoiceTake, 'id' | 'title' | 'signals' | 'truth'>,
  suggested: DeflectionSettings,
  borders: readonly DeflectionBorder[],
): LostDeflection[] {
  const { signals, truth } = take;
  const keyOf = ({ kind, atUs }: WrongDeflection) => `${kind} ${atUs}`;
  const usual = new Set(wrongDeflections(signals, truth.swings, suggested).map(keyOf));
  return borders.flatMap(({ side, beyond }): LostDeflection[] => {
    if (beyond === null) return [];
    const isSpeed = side === 'lowerSpeed' || side === 'higherSpeed';
    const settings = { ...suggested, [isSpeed ? 'speedDps' : 'rearmRatio']: beyond };
    return wrongDeflections(signals, truth.swings, settings)
      .filter((wrong) => !usual.has(keyOf(wrong)))
      .map((wrong) => ({ side, takeId: take.id, title: take.title, ...wrong }));
  });
}
