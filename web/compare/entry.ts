import { deflectionPressesOf, powerPressesOf } from '../../server/engine/base/buttons.ts';
import type { TakeScores } from '../../server/engine/compare/takeScores.ts';
import { isSameContent, type TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { TakeStock } from '../../server/engine/plan/takeStock.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { StoredSetting, TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { type ComparedParts, type KnownParts, wantsAny } from '../takes/found.ts';
import { calibratedOf, type Request } from '../takes/requests.ts';
import type { CompareReply, Swept, TakeFacts } from './compareTake.ts';
import { gridBasisOf } from './gridBasis.ts';

/** The page's work, as far as a comparison rests on it. */
export interface ComparedWork {
  readonly candidates: { readonly a: Candidate; readonly b: Candidate };
  readonly labels: Readonly<Record<string, Labels>>;
  /** Settings that are compared as well. */
  readonly settings: readonly Pick<StoredSetting, 'id' | 'candidate'>[];
}

/** Parts to compute besides the facts: scores of both candidates, these and grids to choose settings from, or stock for a plan. */
export type Wants = 'scores' | 'grids' | 'stock';

/** Results of so many candidates are kept for each take: going back to one costs nothing. */
const KEPT_CANDIDATES = 6;
const KEPT_GRIDS = 2;

/** What is known of one take. */
export interface Entry {
  /** All that the results rest on. */
  readonly content: TakeContent;
  /** Null until the document is read: that it is of this content is what the list says. */
  read: { readonly document: TakeDocument; readonly labels: Labels } | null;
  facts: TakeFacts | null;
  stock: TakeStock | null;
  readonly scores: Map<string, TakeScores>;
  readonly swept: Map<string, Swept>;
}

/** Whether what was found is of the take as it is now. @param labels  as the page has them; undefined where nobody opened it. */
export function isFresh({ content, read }: Entry, take: TakeSummary, labels: Labels | undefined): boolean {
  if (labels === undefined && isSameContent(content, take.content)) return true;
  if (read === null || read.document.revision < take.revision) return false;
  return isSame(read.labels, labels ?? read.document.labels);
}

/** The part that is still to be asked of a take; null where nothing is. @param entry  what is known; null where nothing is. */
export function missingOf(
  takeId: string,
  content: TakeContent,
  entry: Entry | null,
  wants: Wants,
  { candidates: { a, b }, settings }: ComparedWork,
): ComparedParts | null {
  const wanted = [a, b, ...settings.map(({ candidate }) => candidate)];
  const asked = wants === 'stock' ? [] : [...new Map(wanted.map((one) => [keyOf(one), one])).values()];
  const parts: ComparedParts = {
    takeId,
    content,
    wantsFacts: !entry?.facts,
    wantsStock: wants === 'stock' && !entry?.stock,
    candidates: asked.filter((candidate) => !entry?.scores.has(keyOf(candidate))),
    sweepAs: wants === 'grids' && !entry?.swept.has(gridKeyOf(a)) ? a : null,
  };
  return wantsAny(parts) ? parts : null;
}

export function requestOf(parts: ComparedParts, document: TakeDocument, labels: Labels): Request<'compare'> {
  const { presses } = document;
  const powerPresses = powerPressesOf(document);
  const deflectionPresses = deflectionPressesOf(document);
  const asked = { presses, powerPresses, deflectionPresses, labels, ...parts };
  return { kind: 'compare', ...calibratedOf(document), ...asked };
}

/** @param reply  what came of it, or as much of it as is known. */
export function fill(
  entry: Entry,
  { candidates, sweepAs }: ComparedParts,
  { facts, stock, scores, swept }: CompareReply | KnownParts,
  { settings }: ComparedWork,
): void {
  const most = KEPT_CANDIDATES + settings.length;
  entry.facts ??= facts ?? null;
  entry.stock ??= stock ?? null;
  for (const [i, candidate] of candidates.entries()) {
    const own = scores[i];
    if (own) keep(entry.scores, keyOf(candidate), own, most);
  }
  if (sweepAs && swept) keep(entry.swept, gridKeyOf(sweepAs), swept, KEPT_GRIDS);
}

function keep<Value>(map: Map<string, Value>, key: string, value: Value, most: number): void {
  map.set(key, value);
  for (const oldest of map.keys()) {
    if (map.size <= most) return;
    map.delete(oldest);
  }
}

export function keyOf(candidate: Candidate): string {
  return JSON.stringify(candidate);
}

export function gridKeyOf(candidate: Candidate): string {
  return JSON.stringify(gridBasisOf(candidate));
}

function isSame(a: Labels, b: Labels | undefined): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b);
}
