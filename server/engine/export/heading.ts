import type { KeptSetting } from '../kept/keptSetting.ts';
import { type Change, changesText } from '../kept/stale.ts';
import { counted } from '../words/count.ts';

/**
 * The first lines of what goes to a prop: whose values they are, and what they rest on.
 * @param kept  null for a setting that nobody has kept.
 * @param changes  since it was judged, where the takes are at hand.
 */
export function handOverHeading(
  name: string,
  kept: Pick<KeptSetting, 'keptAt' | 'evidence'> | null,
  changes: readonly Change[],
): string[] {
  return [
    `Setting: ${name}`,
    ...(kept === null ? [] : [`Kept ${dayOf(kept.keptAt)}. ${judgedText(kept.evidence)}`]),
    ...outOfDateTexts(changes),
    'Written by Moulinet. A guard is a convenience, no safety device.',
  ];
}

/** A sentence where a setting was judged on something else than there is now; none where it never was, or is up to date. */
export function outOfDateTexts(changes: readonly Change[]): string[] {
  const since = changes.filter(({ kind }) => kind !== 'unjudged');
  return since.length === 0 ? [] : [`Out of date. ${changesText(since)}`];
}

function judgedText(evidence: KeptSetting['evidence']): string {
  if (evidence === null) return 'Not judged on any take: nothing says how well these values do.';
  return `Judged ${dayOf(evidence.judgedAt)} on ${counted(evidence.takes.length, 'take')}.`;
}

/** `2026-05-02T09:15:00.000Z` as `2026-05-02`. */
const dayOf = (iso: string) => iso.slice(0, 10);
