import { computed } from '@preact/signals';
import type { LabelItem } from '../../../server/engine/labels/labelsEdit.ts';
import { kindOf, labelItems } from '../../state/labelWalk.ts';

/** Items by how they are drawn, in time order; of two lists the second holds what is proposed. */
export interface LabelLooks {
  readonly drills: readonly LabelItem[];
  readonly still: readonly [readonly LabelItem[], readonly LabelItem[]];
  readonly swings: readonly [readonly LabelItem[], readonly LabelItem[]];
  readonly gestures: readonly LabelItem[];
}

/** Told apart once, and not in every frame of a zoom: an hour has thousands of swings. */
export const labelLooks = computed<LabelLooks>(() => {
  const drills: LabelItem[] = [];
  const still: [LabelItem[], LabelItem[]] = [[], []];
  const swings: [LabelItem[], LabelItem[]] = [[], []];
  const gestures: LabelItem[] = [];
  for (const item of labelItems.value) {
    const place = item.isProposed ? 1 : 0;
    if (item.what === 'swing') swings[place].push(item);
    else if (item.what === 'gesture') gestures.push(item);
    else if (kindOf(item) === 'still') still[place].push(item);
    else if (kindOf(item) !== 'spinning') drills.push(item);
  }
  return { drills, still, swings, gestures };
});
