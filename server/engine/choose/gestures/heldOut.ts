import { type Fold, type HeldOut, type LeaveOutRules, lackOf, leaveOut } from '../leaveOut.ts';
import { type GestureOutcome, gesturePlateau, joinOutcomes } from './choice.ts';
import { GESTURE_WORDS } from './gestureNames.ts';
import type { GestureMapKind } from './maps.ts';

export interface GestureSetting {
  readonly x: number;
  readonly y: number;
}

/**
 * The n of `again`, which counts fires, is that of the gestures, and that of `outside` the seconds outside them: it tells
 * how much was looked at.
 */
export type GesturePart = 'missed' | 'again' | 'outside';
export type GestureFold = Fold<GestureSetting, GesturePart>;
export type GestureHeldOut = HeldOut<GestureSetting, GesturePart>;

/** The choice on all groups but one, scored on that one; the worst has most wrong. See `leaveOut`. */
export function checkGestureHeldOut(
  map: GestureMapKind,
  parts: readonly { readonly key: string; readonly name: string; readonly grid: GestureOutcome }[],
): GestureHeldOut | null {
  return leaveOut(parts, rulesOf(map));
}

const OTHERS = { one: 'other movement', several: 'other movements' };

function rulesOf(map: GestureMapKind): LeaveOutRules<GestureOutcome, GestureSetting, GesturePart> {
  return {
    names: ['missed', 'again', 'outside'],
    sum: ([first, ...others]) => others.reduce((sum, grid) => joinOutcomes(sum, grid, 1), first!),
    without: (total, own) => joinOutcomes(total, own, -1),
    lackOf: ({ gestures, others }) => lackOf(gestures, GESTURE_WORDS[map]) ?? lackOf(others, OTHERS),
    choose(rest) {
      const plateau = gesturePlateau(rest);
      return {
        setting: { x: plateau.x, y: plateau.y },
        cell: plateau.xIndex * rest.ys.length + plateau.yIndex,
      };
    },
    sizeOf: (own, name) => (name === 'outside' ? own.outsideS : own.gestures),
    wrongAt: (own, name, cell) => own[name][cell]!,
    badness: ({ missed, again, outside }) => [missed.k + again.k + outside.k],
  };
}
