import type { KeptSetting } from '../kept/keptSetting.ts';
import { type Change, changesText } from '../kept/stale.ts';
import { counted, listed } from '../words/count.ts';
import { briefCounts, titleOf } from './sheet/problems.ts';
import { syntheticText } from './sheet/takes.ts';

/** A comment in code is no place for the titles of a whole season. */
const MOST_NAMED = 8;

/**
 * The first lines of what goes to a prop: whose values they are, and what they rest on.
 * @param kept  null for a setting that nobody has kept.
 * @param changes  since it was judged, where the takes are at hand.
 */
export function handOverHeading(name: string, kept: Kept | null, changes: readonly Change[]): string[] {
  return [
    `Setting: ${name}`,
    ...(kept === null ? [] : keptTexts(kept)),
    ...outOfDateTexts(changes),
    'Written by Moulinet. A guard is a convenience, no safety device.',
  ];
}

/** A sentence where a setting was judged on something else than there is now; none where it never was, or is up to date. */
export function outOfDateTexts(changes: readonly Change[]): string[] {
  const since = changes.filter(({ kind }) => kind !== 'unjudged');
  return since.length === 0 ? [] : [`Out of date. ${changesText(since)}`];
}

type Kept = Pick<KeptSetting, 'keptAt' | 'performers' | 'prop' | 'evidence'>;

function keptTexts({ keptAt, performers, prop, evidence }: Kept): string[] {
  const whom = performers.length === 0 ? 'anybody' : listed(performers);
  const kept = `Kept ${dayOf(keptAt)} for ${whom}${prop === '' ? '' : `, ${prop}`}.`;
  if (evidence === null) return [kept, 'Not judged on any take: nothing says how well these values do.'];
  const { judgedAt, takes, problems } = evidence;
  const counting = takes.filter(({ leftOut }) => leftOut === null);
  const titles = counting.map(({ title }) => title);
  const more = titles.length > MOST_NAMED ? [`${titles.length - MOST_NAMED} more`] : [];
  return [
    kept,
    `Judged ${dayOf(judgedAt)} on ${counted(titles.length, 'take')}: ${listed([...titles.slice(0, MOST_NAMED), ...more])}.`,
    ...problems.map(
      (problem) => `${titleOf(problem)}: ${problem.declined ?? `${briefCounts(problem, problem.wrong)}.`}`,
    ),
    ...[syntheticText(counting)].filter((text) => text !== ''),
  ];
}

/** `2026-05-02T09:15:00.000Z` as `2026-05-02`. */
const dayOf = (iso: string) => iso.slice(0, 10);
