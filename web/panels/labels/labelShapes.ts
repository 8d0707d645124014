import type { GestureKind } from '../../../server/engine/labels/labels.ts';
import type { LabelItem } from '../../../server/engine/labels/labelsEdit.ts';
import { inTenths, xOf } from '../../charts/laneShapes.ts';
import type { TimeWindow } from '../../state/model.ts';

/** Swings whose peaks are closer together than this are one arc. */
const LEAST_PX = 4;

/** One arc a swing, from its start over its peak to its end; one for several where there is no room for an arc each. */
export function swingPath(
  items: readonly LabelItem[],
  window: TimeWindow,
  width: number,
  top: number,
  bottom: number,
): string {
  let path = '';
  let firstPeak = Number.NaN;
  let [from, over, to] = [0, 0, 0];
  const flush = (): void => {
    if (Number.isNaN(firstPeak)) return;
    path += `M${inTenths(from)} ${bottom}Q${inTenths(over)} ${2 * top - bottom} ${inTenths(to)} ${bottom}`;
  };
  const perUs = width / (window.endUs - window.startUs);
  for (const { what, label } of items) {
    if (what !== 'swing') continue;
    const peak = (label.peakUs - window.startUs) * perUs;
    const right = (label.endUs - window.startUs) * perUs;
    if (peak - firstPeak < LEAST_PX) {
      to = Math.max(to, right);
      over = (from + to) / 2;
      continue;
    }
    flush();
    firstPeak = peak;
    [from, over, to] = [(label.startUs - window.startUs) * perUs, peak, right];
  }
  flush();
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
