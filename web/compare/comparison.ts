import type { TakeScores } from '../../server/engine/compare/takeScores.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { TakeStock } from '../../server/engine/plan/takeStock.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { pressesOf } from '../state/pressesOf.ts';
import type { TakeDocuments } from '../takes/documents.ts';
import type { CompareReply, CompareRequest, Swept, TakeFacts } from './compareTake.ts';

/** One row of the comparison, with what is known of it so far. */
export interface ComparedTake {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly durationS: number;
  readonly facts: TakeFacts | null;
  readonly stock: TakeStock | null;
  readonly a: TakeScores | null;
  readonly b: TakeScores | null;
  /** What a setting of the guard is chosen from, as candidate A smooths. */
  readonly swept: Swept | null;
  /** Why the take could not be read; null where it could, or has not been yet. */
  readonly problem: string | null;
}

/** The page's work, as far as a comparison rests on it. */
export interface ComparedWork {
  readonly candidates: { readonly a: Candidate; readonly b: Candidate };
  readonly labels: Readonly<Record<string, Labels>>;
}

/** What to work out beside the facts: scores of both candidates with grids to choose settings from, or stock for a plan. */
export type Wants = 'scores' | 'stock';

export interface Sources {
  readonly documents: Pick<TakeDocuments, 'read'>;
  compareTake(request: CompareRequest): Promise<CompareReply>;
}

export interface ComparisonProgress {
  readonly done: number;
  readonly total: number;
}

/** Results of so many candidates are kept for each take: going back to one costs nothing. */
const KEPT_CANDIDATES = 6;
const KEPT_GRIDS = 2;
const AT_ONCE = 2;

interface Entry {
  readonly document: TakeDocument;
  readonly labels: Labels;
  /** All but the labels that the results rest on. */
  readonly key: string;
  facts: TakeFacts | null;
  stock: TakeStock | null;
  readonly scores: Map<string, TakeScores>;
  readonly swept: Map<string, Swept>;
}

/**
 * Compares takes one after another, the next one's columns on their way while one is worked on, so that no more than two
 * are in memory; and keeps what it found by take and candidate.
 * A take that was changed, labelled or calibrated since is worked out again.
 */
export class Comparison {
  private readonly sources: Sources;
  private readonly entries = new Map<string, Entry>();
  private readonly problems = new Map<string, string>();
  private readonly shown = new Map<string, ComparedTake>();

  constructor(sources: Sources) {
    this.sources = sources;
  }

  /** Works out what is missing, and tells after each take. Ends early, without a word, once cancelled. */
  async run(
    takes: readonly TakeSummary[],
    work: ComparedWork,
    wants: Wants,
    tell: (progress: ComparisonProgress) => void,
    isCancelled: () => boolean,
  ): Promise<void> {
    const total = takes.length;
    let [begun, done] = [0, 0];
    const goOn = async (until: number): Promise<void> => {
      while (begun < until && !isCancelled()) {
        await this.workOut(takes[begun++]!, work, wants);
        ++done;
        if (!isCancelled()) tell({ done, total });
      }
    };
    if (isCancelled()) return;
    tell({ done, total });
    // The first take has the machine for itself: somebody waits for it.
    await goOn(Math.min(1, total));
    await Promise.all(Array.from({ length: AT_ONCE }, () => goOn(total)));
  }

  /** What is known of each take under the present work; what an older one gave is not shown. A row that says the same is the same object. */
  rows(takes: readonly TakeSummary[], work: ComparedWork): ComparedTake[] {
    const [a, b] = [keyOf(work.candidates.a), keyOf(work.candidates.b)];
    const gridKey = gridKeyOf(work.candidates.a);
    return takes.map(({ id, title, performer, durationS, revision }) => {
      const entry = this.entries.get(id);
      const labels = entry && (work.labels[id] ?? entry.document.labels);
      const isFresh =
        entry !== undefined && entry.document.revision >= revision && isSame(entry.labels, labels);
      const known = isFresh ? entry : undefined;
      return this.sameOrNew({
        id,
        title,
        performer,
        durationS,
        facts: known?.facts ?? null,
        stock: known?.stock ?? null,
        a: known?.scores.get(a) ?? null,
        b: known?.scores.get(b) ?? null,
        swept: known?.swept.get(gridKey) ?? null,
        problem: this.problems.get(id) ?? null,
      });
    });
  }

  private sameOrNew(row: ComparedTake): ComparedTake {
    const before = this.shown.get(row.id);
    const names = Object.keys(row) as (keyof ComparedTake)[];
    if (before && names.every((name) => before[name] === row[name])) return before;
    this.shown.set(row.id, row);
    return row;
  }

  private async workOut(take: TakeSummary, work: ComparedWork, wants: Wants): Promise<void> {
    try {
      const entry = await this.entryOf(take, work);
      await this.complete(entry, wants, work.candidates);
      this.problems.delete(take.id);
    } catch (error) {
      this.problems.set(take.id, error instanceof Error ? error.message : String(error));
    }
  }

  private async complete(entry: Entry, wants: Wants, { a, b }: ComparedWork['candidates']): Promise<void> {
    const asked = wants === 'scores' ? [...new Map([a, b].map((one) => [keyOf(one), one])).values()] : [];
    const candidates = asked.filter((candidate) => !entry.scores.has(keyOf(candidate)));
    const wantsFacts = entry.facts === null;
    const wantsStock = wants === 'stock' && entry.stock === null;
    const sweepAs = wants === 'scores' && !entry.swept.has(gridKeyOf(a)) ? a : null;
    if (candidates.length === 0 && !wantsFacts && !wantsStock && sweepAs === null) return;
    const { facts, stock, scores, swept } = await this.sources.compareTake({
      kind: 'compare',
      ...inputOf(entry),
      wantsFacts,
      wantsStock,
      candidates,
      sweepAs,
    });
    entry.facts ??= facts;
    entry.stock ??= stock;
    for (const [i, candidate] of candidates.entries())
      keep(entry.scores, keyOf(candidate), scores[i]!, KEPT_CANDIDATES);
    if (swept) keep(entry.swept, gridKeyOf(a), swept, KEPT_GRIDS);
  }

  /** The take's entry, made anew where what it rests on has changed. */
  private async entryOf({ id, revision }: TakeSummary, work: ComparedWork): Promise<Entry> {
    const kept = this.entries.get(id);
    const document = await this.sources.documents.read(id, revision);
    const labels = work.labels[id] ?? document.labels;
    const key = JSON.stringify([document.calibration, document.powerButton]);
    const isKept = kept !== undefined && kept.key === key && isSame(kept.labels, labels);
    const entry: Entry = isKept
      ? { ...kept, document, labels }
      : { document, labels, key, facts: null, stock: null, scores: new Map(), swept: new Map() };
    this.entries.set(id, entry);
    return entry;
  }
}

function inputOf({ document, labels }: Entry) {
  const { id, calibration, presses } = document;
  return { takeId: id, calibration, presses, powerPresses: pressesOf(document), labels };
}

function keep<Value>(map: Map<string, Value>, key: string, value: Value, most: number): void {
  map.set(key, value);
  for (const oldest of map.keys()) {
    if (map.size <= most) return;
    map.delete(oldest);
  }
}

function keyOf(candidate: Candidate): string {
  return JSON.stringify(candidate);
}

/** What of a candidate a grid rests on. */
function gridKeyOf({ smoothing, guard }: Candidate): string {
  return JSON.stringify([smoothing, guard.releaseRatio, guard.decideAt]);
}

function isSame(a: Labels, b: Labels | undefined): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b);
}
