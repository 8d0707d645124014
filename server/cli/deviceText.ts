import type { LoggedDecisions } from '../engine/base/decisions.ts';
import type { CauseSearch, Finding } from '../engine/device/findCause.ts';
import { moment } from '../engine/words/count.ts';
import {
  agreementText,
  causeText,
  causeTexts,
  countedTexts,
  differenceText,
  kindCounts,
} from '../engine/words/device.ts';

const SHOWN = 10;

/** How far the prop decided as the bench does, and the likely cause; empty where the log tells of no decisions. */
export function deviceLines(search: CauseSearch | null, logged: LoggedDecisions | null): string[] {
  if (search === null || logged === null) return [];
  const { agreement } = search;
  const { differences } = agreement;
  return [
    `  ${agreementText(agreement)}`,
    ...(agreement.n === 0 ? [] : [`    ${kindCounts(agreement)}`]),
    ...countedTexts(agreement, toldIn(logged)).map((text) => `    ${text}`),
    ...differences
      .slice(0, SHOWN)
      .map((own) => `    ${moment(own.atUs).padStart(9)}  ${differenceText(own)}`),
    ...(differences.length > SHOWN
      ? [`    ... and ${differences.length - SHOWN} more (all with --json)`]
      : []),
    ...(search.tried === 0 ? [] : causeTexts(search).map((text) => `    ${text}`)),
  ];
}

/** The same for programs; null where the log tells of no decisions. */
export function deviceDocument(search: CauseSearch | null): unknown {
  if (search === null) return null;
  const { n, alike, interval, ofKind, differences, toleranceUs, lateUs, pairs, apart } = search.agreement;
  return {
    decisions: n,
    alike,
    interval,
    ofKind: Object.fromEntries(ofKind),
    toleranceMs: toleranceUs / 1000,
    lateMs: lateUs / 1000,
    notAtTheSameSample: { k: apart, n: pairs },
    differences: differences.map(({ atUs, lateUs, ...own }) => ({
      ...own,
      timeS: atUs / 1e6,
      lateMs: lateUs === null ? null : lateUs / 1000,
      text: differenceText({ atUs, lateUs, ...own }),
    })),
    tried: search.tried,
    equallyLikely: search.equals,
    likely: search.best.map(findingDocument),
    rest: search.rest && findingDocument(search.rest),
    next: search.next && findingDocument(search.next),
  };
}

export function toldIn({ guardClosed, refusedUs, fires }: LoggedDecisions) {
  return { guard: guardClosed !== null, presses: refusedUs !== null, fires: fires !== null };
}

function findingDocument({ cause, left, range }: Finding) {
  return { cause, text: causeText(cause, range), differencesLeft: left, range };
}
