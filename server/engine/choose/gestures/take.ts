import type { Press } from '../../base/log.ts';
import { type ConfirmedGestures, confirmedGestures } from '../../labels/confirmedGestures.ts';
import type { Labels } from '../../labels/labels.ts';
import type { Motion } from '../../motion/motion.ts';
import type { Signals } from '../../motion/signals.ts';
import type { FireGrid } from '../../sweep/fireGrid.ts';
import { type GesturePart, sweepGestures } from '../../sweep/gestureSweep.ts';
import type { Axes } from '../../sweep/grid.ts';
import type { Truth } from '../../truth/truth.ts';
import type { Unfit } from '../unfit.ts';
import { type GestureBase, type GestureMapKind, gestureMap, withXY } from './maps.ts';

/** A take as choosing a gesture detector's settings needs it. */
export interface GestureTake {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  /** The whole motion: force, thrust and gravity as well as the rates. */
  readonly motion: Motion;
  /** Computed with the smoothing, high-pass and start of the twist of the candidate whose map is drawn. */
  readonly signals: Signals;
  readonly leverArmM: number;
  /** Presses of every button: a twist may start at any of them. */
  readonly presses: readonly Press[];
  readonly labels: Labels;
  readonly truth: Pick<Truth, 'swings'>;
  /** See `ChoiceTake`. */
  readonly unfit?: Unfit | null;
}

/** With how much else there is at which it is to keep silent, see `GestureEvidence`. */
export type GestureGrid = FireGrid<GesturePart, 'gestures' | 'others' | 'outsideS'>;

/** @param base  what the grid leaves alone. @param axes  those of the page where not given. */
export function sweepGestureTake(
  { signals, labels }: Pick<GestureTake, 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
  axes: Axes = axesOf(kind),
): FireGrid<GesturePart, 'gestures'> {
  const map = gestureMap(kind);
  const confirmed = confirmedGestures(labels, map.gesture);
  const firesAt = map.sweeper(signals, base);
  return sweepGestures({
    timeUs: signals.timeUs,
    confirmed,
    ...axes,
    firesAt: (y, xs) =>
      // Labels that tell nothing make every cell alike.
      saysNothing(confirmed) ? [] : firesAt(xs, withXY(base, kind, axes.xs[0]!, y)),
  });
}

/** Whether the labels leave every setting as good as any other. */
function saysNothing({ gestures, tellsOutside }: ConfirmedGestures): boolean {
  return gestures.length === 0 && !tellsOutside;
}

function axesOf(kind: GestureMapKind): Axes {
  const { x, y } = gestureMap(kind);
  return { xs: x.values, ys: y.values };
}
