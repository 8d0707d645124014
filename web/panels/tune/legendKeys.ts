import { GESTURE_DETECTOR_IDS, type GestureDetectorId } from '../../../server/engine/detect/detectors.ts';
import type { GestureKind } from '../../../server/engine/labels/labels.ts';
import type { LabelItem } from '../../../server/engine/labels/labelsEdit.ts';
import { firstAtOrAfter, firstWhere } from '../../../server/engine/statistics/sorted.ts';
import { deviceAgreement } from '../../state/device.ts';
import type { Fate } from '../../state/fate.ts';
import { FATE_ORDER, pressesInSight } from '../../state/judgedMarks.ts';
import type { Slot, TimeWindow } from '../../state/model.ts';
import { takeUnits } from '../../state/motionScores.ts';
import { openDecisions, openLabels } from '../../state/openTake.ts';
import { sight } from '../../state/store.ts';
import { type Verdicts, verdicts } from '../../state/verdicts.ts';
import { clippedSwings } from '../ClippedPeaks.tsx';
import { itemsInSight } from '../labels/itemsInSight.ts';
import { labelLooks } from '../labels/labelLooks.ts';
import { isCrowded } from './crowd.ts';

export type LegendKey =
  | Fate
  /** Fates as bands, for there are too many presses for a mark each. */
  | 'bands'
  | GestureDetectorId
  | 'deflection'
  | 'twice'
  | 'missed'
  | 'clipped'
  | 'swings'
  | 'stop'
  | 'still'
  | `label-${GestureKind}`
  | 'drill'
  | 'differs';

/** Every kind of mark that the speed and the lanes show in a window, on plots of a width. */
export function keysInSight(window: TimeWindow, width: number): ReadonlySet<LegendKey> {
  const keys = new Set<LegendKey>();
  const isIn = (us: number) => us >= window.startUs && us <= window.endUs;
  const slots: readonly Slot[] = sight.showB.value ? ['a', 'b'] : ['a'];
  for (const slot of slots) {
    const verdict = verdicts[slot].value;
    if (verdict) addVerdicts(keys, verdict, window, width);
    if (deviceAgreement[slot].value?.differences.some(({ atUs }) => isIn(atUs))) keys.add('differs');
  }
  // What the prop itself logged is drawn with the same marks.
  for (const { kind, atUs } of openDecisions.value?.fires ?? [])
    if (kind !== 'dial' && isIn(atUs)) keys.add(kind);
  if (clippedSwings.value.some(({ peakUs }) => isIn(peakUs))) keys.add('clipped');
  if (takeUnits.value?.stopsUs.some(isIn)) keys.add('stop');
  const { drills, still, swings, gestures } = labelLooks.value;
  const isSeen = (items: readonly LabelItem[]) => itemsInSight(items, window).length > 0;
  if (swings.some(isSeen)) keys.add('swings');
  if (still.some(isSeen)) keys.add('still');
  if (isSeen(drills)) keys.add('drill');
  for (const { what, label } of itemsInSight(gestures, window))
    if (what === 'gesture') keys.add(`label-${label.kind}`);
  return keys;
}

function addVerdicts(keys: Set<LegendKey>, verdict: Verdicts, window: TimeWindow, width: number): void {
  const { timeUs } = verdict.signals;
  const isIn = (us: number) => us >= window.startUs && us <= window.endUs;
  const first = firstAtOrAfter(timeUs, window.startUs);
  const last = firstAtOrAfter(timeUs, window.endUs + 1);
  const fires = (at: Int32Array) => {
    const next = firstWhere(at.length, (k) => at[k]! >= first);
    return next < at.length && at[next]! < last;
  };
  const marks = pressesInSight(verdict.presses, openLabels.value, window);
  for (const fate of FATE_ORDER) if (marks.count(fate) > 0) keys.add(fate);
  if (isCrowded(marks, width)) keys.add('bands');
  if (verdict.deflections && fires(verdict.deflections)) keys.add('deflection');
  if (verdict.deflectionScore?.twiceUs.some(isIn)) keys.add('twice');
  if (verdict.deflectionScore?.missedSwings.some(({ peakUs }) => isIn(peakUs))) keys.add('missed');
  for (const id of GESTURE_DETECTOR_IDS) if (fires(verdict.fires[id])) keys.add(id);
}
