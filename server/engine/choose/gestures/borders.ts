import type { GestureOutcome, GestureSuggestion } from './choice.ts';
import { type GestureBase, type GestureMapKind, withXY } from './maps.ts';
import type { GestureTake } from './take.ts';
import { type WrongGesture, wrongGestures } from './verdicts.ts';

/** What lies beyond one side of the plateau, along one setting with the other as suggested. */
export interface GestureBorder {
  readonly axis: 'x' | 'y';
  /** Below the plateau, or above it. */
  readonly by: -1 | 1;
  /** The last value that is as good; the first that is worse is `beyond`, null where nothing is tried there. */
  readonly last: number;
  readonly beyond: number | null;
  /** What gets worse there (counts can also fall: another kind then rises by more). */
  readonly missed: number;
  readonly again: number;
  readonly outside: number;
}

export type { WrongGesture };

/** What goes wrong beyond a border and is right at the suggestion. */
export interface LostGesture extends WrongGesture {
  readonly axis: 'x' | 'y';
  readonly by: -1 | 1;
  readonly takeId: string;
  readonly title: string;
}

export function gestureBorders({ plateau, cell }: GestureSuggestion, grid: GestureOutcome): GestureBorder[] {
  const { xs, ys, missed, again, outside } = grid;
  const step = (axis: 'x' | 'y', by: -1 | 1, last: number): GestureBorder => {
    const values = axis === 'x' ? xs : ys;
    const index = values.indexOf(last) + by;
    const beyond = values[index];
    if (beyond === undefined) return { axis, by, last, beyond: null, missed: 0, again: 0, outside: 0 };
    const own = axis === 'x' ? plateau.xIndex : plateau.yIndex;
    const there = cell + (index - own) * (axis === 'x' ? ys.length : 1);
    const more = (counts: Int32Array) => counts[there]! - counts[cell]!;
    return { axis, by, last, beyond, missed: more(missed), again: more(again), outside: more(outside) };
  };
  const { xMargin, yMargin } = plateau;
  return [
    step('x', -1, xMargin.low),
    step('x', 1, xMargin.high),
    step('y', -1, yMargin.low),
    step('y', 1, yMargin.high),
  ];
}

/** What a step over each border loses in a take. */
export function lostGestures(
  take: Pick<GestureTake, 'id' | 'title' | 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
  { x, y }: Pick<GestureSuggestion, 'x' | 'y'>,
  borders: readonly GestureBorder[],
): LostGesture[] {
  const keyOf = ({ kind: what, atUs }: WrongGesture) => `${what} ${atUs}`;
  const usual = new Set(wrongGestures(take, kind, withXY(base, kind, x, y)).map(keyOf));
  return borders.flatMap(({ axis, by, beyond }): LostGesture[] => {
    if (beyond === null) return [];
    const settings = axis === 'x' ? withXY(base, kind, beyond, y) : withXY(base, kind, x, beyond);
    return wrongGestures(take, kind, settings)
      .filter((wrong) => !usual.has(keyOf(wrong)))
      .map((wrong) => ({ axis, by, takeId: take.id, title: take.title, ...wrong }));
  });
}
