import type { ConfirmedGestures } from '../labels/confirmedGestures.ts';
import { GestureMatch } from '../score/gestureMatch.ts';
import { type FireGrid, sweepFireGrid } from './fireGrid.ts';

/**
 * Confirmed gestures missed, fires beyond the first of one, and fires that belong to none where the labels tell that
 * there is none.
 */
export type GesturePart = 'missed' | 'again' | 'outside';

/**
 * What `scoreGestures` would give at every x and y.
 * @param args  see `sweepFireGrid`.
 */
export function sweepGestures(args: {
  readonly timeUs: Float64Array;
  readonly confirmed: ConfirmedGestures;
  readonly xs: readonly number[];
  readonly ys: readonly number[];
  firesAt(y: number, xs: Float64Array): readonly ArrayLike<number>[];
}): FireGrid<GesturePart, 'gestures'> {
  const { confirmed, ...swept } = args;
  const { gestures } = confirmed;
  const match = new GestureMatch(confirmed);
  return sweepFireGrid({
    ...swept,
    sizes: { gestures: gestures.length },
    parts: ['missed', 'again', 'outside'],
    count(fireUs) {
      match.assign(fireUs);
      const delaysMs = match.fireUs
        .map((us, i) => (us - gestures[i]!.startUs) / 1000)
        .filter((ms) => !Number.isNaN(ms));
      const missed = gestures.length - delaysMs.length;
      const wrong = { missed, again: match.againUs.length, outside: match.outsideUs.length };
      return { wrong, delaysMs };
    },
  });
}
