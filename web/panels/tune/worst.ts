import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import { intentOf, type Labels } from '../../../server/engine/labels/labels.ts';
import { firstWhere } from '../../../server/engine/statistics/sorted.ts';
import type { TimeWindow } from '../../state/model.ts';
import { type Fate, fateOf } from '../fate.ts';

export interface JudgedMark {
  readonly verdict: PressVerdict;
  readonly fate: Fate;
}

interface Marked {
  readonly labels: Labels['presses'];
  readonly marks: readonly JudgedMark[];
}

const marked = new WeakMap<readonly PressVerdict[], Marked>();

/** The presses that were judged, each with what became of it: told once for lanes, trace, legend and sentence. */
export function markPresses(
  verdicts: readonly PressVerdict[],
  labels: Pick<Labels, 'presses'>,
): readonly JudgedMark[] {
  const known = marked.get(verdicts);
  if (known?.labels === labels.presses) return known.marks;
  const marks = verdicts.map((verdict) => {
    return { verdict, fate: fateOf(verdict, intentOf(labels, verdict.press)?.intent ?? null) };
  });
  marked.set(verdicts, { labels: labels.presses, marks });
  return marks;
}

/** The presses in a window that were judged, each with what became of it. */
export function pressesInSight(
  verdicts: readonly PressVerdict[],
  labels: Pick<Labels, 'presses'>,
  window: TimeWindow,
): readonly JudgedMark[] {
  const marks = markPresses(verdicts, labels);
  const downUs = (place: number): number => marks[place]!.verdict.press.downUs;
  const first = firstWhere(marks.length, (k) => downUs(k) >= window.startUs);
  const end = firstWhere(marks.length, (k) => downUs(k) > window.endUs);
  return first === 0 && end === marks.length ? marks : marks.slice(first, end);
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

/** The press that is told of: the chosen one where it went wrong and is in sight, else the worst. */
export function saidOf(marks: readonly JudgedMark[], chosen: number | null): JudgedMark | null {
  const own = marks.find(({ verdict }) => verdict.pressIndex === chosen);
  return own && isWrong(own) ? own : worstOf(marks);
}

function isWrong({ fate }: JudgedMark): boolean {
  return fate === 'strayLetThrough' || fate === 'wantedRefused';
}
