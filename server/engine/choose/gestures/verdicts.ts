import { confirmedGestures } from '../../labels/confirmedGestures.ts';
import { GestureMatch } from '../../score/gestureMatch.ts';
import { type GestureBase, type GestureMapKind, gestureMap } from './maps.ts';
import type { GestureTake } from './take.ts';

/** A gesture that does not fire, or a fire that it would be better without. */
export interface WrongGesture {
  readonly kind: 'missed' | 'again' | 'outside';
  /** Start of the gesture, or the fire. */
  readonly atUs: number;
}

/** What a setting makes of a take's confirmed gestures. */
export interface GestureVerdicts {
  /** Starts of those that fire, and of those that do not. */
  readonly hitUs: readonly number[];
  readonly missedUs: readonly number[];
  readonly againUs: readonly number[];
  readonly outsideUs: readonly number[];
}

export function gestureVerdicts(
  { signals, labels }: Pick<GestureTake, 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
): GestureVerdicts {
  const map = gestureMap(kind);
  const confirmed = confirmedGestures(labels, map.gesture);
  const match = new GestureMatch(confirmed);
  match.assign(Float64Array.from(map.run(signals, base), (index) => signals.timeUs[index]!));
  const starts = (isHit: boolean) =>
    confirmed.gestures.flatMap(({ startUs }, i) =>
      Number.isNaN(match.fireUs[i]!) === isHit ? [] : [startUs],
    );
  const { againUs, outsideUs } = match;
  return { hitUs: starts(true), missedUs: starts(false), againUs, outsideUs };
}

/** All that goes wrong at a setting, in time order. */
export function wrongGestures(
  take: Pick<GestureTake, 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
): WrongGesture[] {
  const { missedUs, againUs, outsideUs } = gestureVerdicts(take, kind, base);
  const wrong = (what: WrongGesture['kind'], momentsUs: readonly number[]) =>
    momentsUs.map((atUs): WrongGesture => ({ kind: what, atUs }));
  return [...wrong('missed', missedUs), ...wrong('again', againUs), ...wrong('outside', outsideUs)].sort(
    (a, b) => a.atUs - b.atUs,
  );
}
