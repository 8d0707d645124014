import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import { intentOf, type Labels } from '../../../server/engine/labels/labels.ts';
import type { TimeWindow } from '../../state/model.ts';
import { type Fate, fateOf } from '../fate.ts';

export interface JudgedMark {
  readonly verdict: PressVerdict;
  readonly fate: Fate;
}

/** The presses in a window that were judged, each with what became of it. */
export function pressesInSight(
  verdicts: readonly PressVerdict[],
  labels: Labels,
  window: TimeWindow,
): JudgedMark[] {
  return verdicts
    .filter(({ press }) => press.downUs >= window.startUs && press.downUs <= window.endUs)
    .map((verdict) => ({ verdict, fate: fateOf(verdict, intentOf(labels, verdict.press)?.intent ?? null) }));
}

/**
 * The press that went wrong the worst: of the stray ones that were let through the one that asks for the longest hold,
 * else the first wanted one that was refused; null where all went right.
 */
export function worstOf(marks: readonly JudgedMark[]): JudgedMark | null {
  const holdFor = ({ verdict }: JudgedMark) => verdict.beforeMs ?? Number.POSITIVE_INFINITY;
  let worst: JudgedMark | null = null;
  for (const mark of marks)
    if (mark.fate === 'strayLetThrough' && (worst === null || holdFor(mark) > holdFor(worst))) worst = mark;
  return worst ?? marks.find(({ fate }) => fate === 'wantedRefused') ?? null;
}
