import type { GestureKind } from '../../../server/engine/labels/labels.ts';
import type { LabelItem } from '../../../server/engine/labels/labelsEdit.ts';
import { inTenths, xOf } from '../../charts/laneShapes.ts';
import type { TimeWindow } from '../../state/model.ts';

/** Arcs closer together than this are drawn as one. */
const LEAST_PX = 1.5;

/** One arc a swing, from its start over its peak to its end. */
export function swingPath(
  items: readonly LabelItem[],
  window: TimeWindow,
  width: number,
  top: number,
  bottom: number,
): string {
  let path = '';
  let last = Number.NEGATIVE_INFINITY;
  for (const { what, label } of items) {
    if (what !== 'swing') continue;
    const peak = xOf(label.peakUs, window, width);
    if (peak - last < LEAST_PX) continue;
    last = peak;
    const [left, right] = [xOf(label.startUs, window, width), xOf(label.endUs, window, width)];
    path += `M${inTenths(left)} ${bottom}Q${inTenths(peak)} ${2 * top - bottom} ${inTenths(right)} ${bottom}`;
  }
  return path;
}

/** One mark a gesture, at its middle, over a line from its start to its end: the shapes of the detections, hollow. */
export function gesturePath(
  kind: GestureKind,
  items: readonly LabelItem[],
  window: TimeWindow,
  width: number,
  y: number,
): string {
  return items
    .map(({ label }) => {
      const [left, right] = [xOf(label.startUs, window, width), xOf(label.endUs, window, width)];
      const line = `M${left.toFixed(1)} ${y + 6}H${Math.max(right, left + 1).toFixed(1)}`;
      return line + markPath(kind, (left + right) / 2, y - 1);
    })
    .join('');
}

function markPath(kind: GestureKind, x: number, y: number): string {
  const at = `M${x.toFixed(1)} ${y}`;
  switch (kind) {
    case 'thrust':
      return `${at}m-4 -4l8 4l-8 4z`;
    case 'hit':
      return `${at}m0 -4.5v9${at}m-4 -2.3l8 4.6${at}m-4 2.3l8 -4.6`;
    case 'twist':
      return `${at}m-4 1.5a4.2 4.2 0 1 1 5.5 2.5`;
  }
}
