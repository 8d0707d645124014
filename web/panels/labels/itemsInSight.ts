import type { LabelItem } from '../../../server/engine/labels/labelsEdit.ts';
import { firstWhere } from '../../../server/engine/statistics/sorted.ts';
import type { TimeWindow } from '../../state/model.ts';

const latestEnds = new WeakMap<readonly LabelItem[], Float64Array>();

/** Labels that a window shows any part of, in their order; all of them are the list itself. @param items  in time order */
export function itemsInSight(
  items: readonly LabelItem[],
  { startUs, endUs }: TimeWindow,
): readonly LabelItem[] {
  const latest = latestEndsOf(items);
  const first = firstWhere(items.length, (k) => latest[k]! >= startUs);
  const end = firstWhere(items.length, (k) => items[k]!.label.startUs > endUs);
  if (end === items.length && startUs <= (items[0]?.label.startUs ?? startUs)) return items;
  return items.slice(first, end).filter(({ label }) => label.endUs >= startUs);
}

/** When the latest end of each item and those before it is: a long one may begin far ahead of others that end sooner. */
function latestEndsOf(items: readonly LabelItem[]): Float64Array {
  let latest = latestEnds.get(items);
  if (!latest) {
    latest = new Float64Array(items.length);
    let us = Number.NEGATIVE_INFINITY;
    for (let k = 0; k < items.length; ++k) {
      us = Math.max(us, items[k]!.label.endUs);
      latest[k] = us;
    }
    latestEnds.set(items, latest);
  }
  return latest;
}
