import { LABEL_FIELDS, type LabelList, type Labels, overlap } from '../../server/engine/labels/labels.ts';

const LISTS = Object.keys(LABEL_FIELDS) as readonly LabelList[];

type AnyLabel = NonNullable<Labels[LabelList]>[number];

/** What one side has made of the labels that both go on from. */
export interface LabelChanges {
  readonly added: readonly [LabelList, AnyLabel][];
  readonly removed: readonly [LabelList, AnyLabel][];
}

/** Labels that are in one list and not in the other, by all that they say. */
export function changesOf(base: Labels, now: Labels): LabelChanges {
  const missingIn = (some: Labels, others: Labels) =>
    LISTS.flatMap((list) => {
      const known = new Set((others[list] ?? []).map(keyOf));
      return (some[list] ?? [])
        .filter((label) => !known.has(keyOf(label)))
        .map((label): [LabelList, AnyLabel] => [list, label]);
    });
  return { added: missingIn(now, base), removed: missingIn(base, now) };
}

/** Both sides' changes together, and what of them cannot both be. */
export interface MergedLabels {
  readonly labels: Labels;
  /** Labels of mine that contradict one of theirs: the labels hold theirs. */
  readonly contradicted: readonly [LabelList, AnyLabel][];
}

/**
 * What both made of the same labels: all that either added, without all that either removed. Where a label of mine
 * contradicts one that was added there (another intent of the same press, another label of the same kind over the same
 * stretch), theirs stands and mine is told of.
 */
export function mergeLabels(base: Labels, mine: Labels, theirs: Labels): MergedLabels {
  const own = changesOf(base, mine);
  const other = changesOf(base, theirs);
  const gone = new Set(own.removed.map(([list, label]) => `${list} ${keyOf(label)}`));
  const contradicted = own.added.filter(([list, label]) =>
    other.added.some(
      ([where, one]) => where === list && keyOf(one) !== keyOf(label) && contradicts(one, label),
    ),
  );
  const merged = LISTS.map((list) => {
    const kept = (theirs[list] ?? []).filter((label) => !gone.has(`${list} ${keyOf(label)}`));
    const known = new Set(kept.map(keyOf));
    const more = own.added.filter(
      (one) => one[0] === list && !contradicted.includes(one) && !known.has(keyOf(one[1])),
    );
    return [list, [...kept, ...more.map(([, label]) => label)].sort((a, b) => momentOf(a) - momentOf(b))];
  });
  return { labels: Object.fromEntries(merged) as unknown as Labels, contradicted };
}

function keyOf(label: AnyLabel): string {
  return JSON.stringify(Object.entries(label).sort());
}

export function momentOf(label: AnyLabel): number {
  return 'downUs' in label ? label.downUs : label.startUs;
}

function contradicts(a: AnyLabel, b: AnyLabel): boolean {
  if ('downUs' in a || 'downUs' in b)
    return 'downUs' in a && 'downUs' in b && a.downUs === b.downUs && a.button === b.button;
  return ('kind' in a ? a.kind : '') === ('kind' in b ? b.kind : '') && overlap(a, b);
}
