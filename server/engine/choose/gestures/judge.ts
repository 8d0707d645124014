import { confirmedGestures } from '../../labels/confirmedGestures.ts';
import { GestureMatch } from '../../score/gestureMatch.ts';
import type { GesturePart } from '../../sweep/gestureSweep.ts';
import type { Judged } from '../problem.ts';
import { type GestureBase, type GestureMapKind, gestureMap } from './maps.ts';
import type { GestureTake } from './take.ts';

/** What a setting makes of a take's confirmed gestures, each at its start, and its fires beside them, in time order. */
export function judgeGestures(
  { signals, labels }: Pick<GestureTake, 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
): Judged<GesturePart>[] {
  const map = gestureMap(kind);
  const confirmed = confirmedGestures(labels, map.gesture);
  const match = new GestureMatch(confirmed);
  match.assign(Float64Array.from(map.run(signals, base), (index) => signals.timeUs[index]!));
  const { fireUs, againUs, outsideUs } = match;
  return [
    ...confirmed.gestures.map(({ startUs }, i): Judged<GesturePart> => {
      return { what: 'unit', atUs: startUs, wrong: Number.isNaN(fireUs[i]!) ? 'missed' : null };
    }),
    ...againUs.map((atUs): Judged<GesturePart> => ({ what: 'fire', atUs, wrong: 'again' })),
    ...outsideUs.map((atUs): Judged<GesturePart> => ({ what: 'fire', atUs, wrong: 'outside' })),
  ].sort((a, b) => a.atUs - b.atUs);
}
