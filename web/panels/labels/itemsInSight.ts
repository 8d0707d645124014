import type { LabelItem } from '../../../server/engine/labels/labelsEdit.ts';
import { firstWhere } from '../../../server/engine/statistics/sorted.ts';
import type { TimeWindow } from '../../state/model.ts';

interface Known {
  /** When the latest end of each item and those before it is: a long one may begin far ahead of others that end sooner. */
  readonly latest: Float64Array;
  /** What was last asked for: lanes and legend ask for the same in every frame of a zoom. */
  last: { readonly startUs: number; readonly endUs: number; readonly items: readonly LabelItem[] } | null;
}

const known = new WeakMap<readonly LabelItem[], Known>();

/** Labels that a window shows any part of, in their order; all of them are the list itself. @param items  in time order */
export function itemsInSight(
  items: readonly LabelItem[],
  { startUs, endUs }: TimeWindow,
): readonly LabelItem[] {
  const list = known.get(items) ?? { latest: latestEndsOf(items), last: null };
  known.set(items, list);
  if (list.last?.startUs !== startUs || list.last.endUs !== endUs)
    list.last = { startUs, endUs, items: inSightOf(items, list.latest, { startUs, endUs }) };
  return list.last.items;
}

function inSightOf(
  items: readonly LabelItem[],
  latest: Float64Array,
  { startUs, endUs }: TimeWindow,
): readonly LabelItem[] {
  const first = firstWhere(items.length, (k) => latest[k]! >= startUs);
  const end = firstWhere(items.length, (k) => items[k]!.label.startUs > endUs);
  if (end === items.length && startUs <= (items[0]?.label.startUs ?? startUs)) return items;
  return items.slice(first, end).filter(({ label }) => label.endUs >= startUs);
}

function latestEndsOf(items: readonly LabelItem[]): Float64Array {
  const latest = new Float64Array(items.length);
  let us = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < items.length; ++k) {
    us = Math.max(us, items[k]!.label.endUs);
    latest[k] = us;
  }
  return latest;
}
