import { deflectionPressesOf, powerPressesOf } from '../../server/engine/base/buttons.ts';
import type { TakeScores } from '../../server/engine/compare/takeScores.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { TakeStock } from '../../server/engine/plan/takeStock.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { StoredSetting, TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { messageOf } from '../state/notices.ts';
import { basisOf, type TakeDocuments } from '../takes/documents.ts';
import type { Request } from '../takes/requests.ts';
import type { CompareReply, Swept, TakeFacts } from './compareTake.ts';

/** One row of the comparison, with what is known of it so far. */
export interface ComparedTake {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly prop: string;
  readonly session: string;
  readonly durationS: number;
  readonly facts: TakeFacts | null;
  readonly stock: TakeStock | null;
  readonly a: TakeScores | null;
  readonly b: TakeScores | null;
  /** Of each setting that was asked for beside both, by its id; missing until it is known. */
  readonly kept: ReadonlyMap<string, TakeScores>;
  /** Basis for choosing a setting of the guard, as candidate A smooths. */
  readonly swept: Swept | null;
  /** Why the take could not be read; null where it could, or has not been yet. */
  readonly problem: string | null;
}

/** The page's work, as far as a comparison rests on it. */
export interface ComparedWork {
  readonly candidates: { readonly a: Candidate; readonly b: Candidate };
  readonly labels: Readonly<Record<string, Labels>>;
  /** Settings that are compared as well. */
  readonly settings: readonly Pick<StoredSetting, 'id' | 'candidate'>[];
}

/**
 * Parts to compute besides the facts: scores of both candidates with grids to choose settings from, or stock for a
 * plan.
 */
export type Wants = 'scores' | 'stock';

interface Sources {
  readonly documents: Pick<TakeDocuments, 'read'>;
  /** @param prepare  gives null if nothing is to be asked. */
  ask(
    takeId: string,
    prepare: () => Promise<Request<'compare'> | null>,
    stopped: AbortSignal,
  ): Promise<CompareReply | null>;
}

export interface ComparisonProgress {
  readonly done: number;
  readonly total: number;
}

/** Results of so many candidates are kept for each take: going back to one costs nothing. */
const KEPT_CANDIDATES = 6;
const NO_SCORES: ReadonlyMap<string, TakeScores> = new Map();
const KEPT_GRIDS = 2;

interface Entry {
  document: TakeDocument;
  labels: Labels;
  /** All but the labels that the results rest on. */
  readonly key: string;
  facts: TakeFacts | null;
  stock: TakeStock | null;
  readonly scores: Map<string, TakeScores>;
  readonly swept: Map<string, Swept>;
}

/**
 * Keeps what was found by take and candidate, and asks for what is missing.
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

  /** Works out what is missing, and tells after each take. Ends early, without a word, once `stopped`. */
  async run(
    takes: readonly TakeSummary[],
    work: ComparedWork,
    wants: Wants,
    tell: (progress: ComparisonProgress) => void,
    stopped: AbortSignal,
  ): Promise<void> {
    let done = 0;
    const tellDone = (): void => {
      if (!stopped.aborted) tell({ done, total: takes.length });
    };
    tellDone();
    const workOut = async (take: TakeSummary): Promise<void> => {
      await this.workOut(take, work, wants, stopped);
      ++done;
      tellDone();
    };
    await Promise.all(takes.map(workOut));
  }

  /** What is known of each take under the present work; what an older one gave is not shown. A row that says the same is the same object. */
  rows(takes: readonly TakeSummary[], work: ComparedWork): ComparedTake[] {
    const [a, b] = [keyOf(work.candidates.a), keyOf(work.candidates.b)];
    const gridKey = gridKeyOf(work.candidates.a);
    return takes.map(({ id, title, performer, prop, session, durationS, revision }) => {
      const entry = this.entries.get(id);
      const labels = entry && (work.labels[id] ?? entry.document.labels);
      const isFresh =
        entry !== undefined && entry.document.revision >= revision && isSame(entry.labels, labels);
      const known = isFresh ? entry : undefined;
      return this.sameOrNew({
        id,
        title,
        performer,
        prop,
        session,
        durationS,
        facts: known?.facts ?? null,
        stock: known?.stock ?? null,
        a: known?.scores.get(a) ?? null,
        b: known?.scores.get(b) ?? null,
        kept: this.keptOf(id, known, work),
        swept: known?.swept.get(gridKey) ?? null,
        problem: this.problems.get(id) ?? null,
      });
    });
  }

  /** The same map while it holds the same: a row is compared by its parts. */
  private keptOf(
    id: string,
    known: Entry | undefined,
    { settings }: ComparedWork,
  ): ReadonlyMap<string, TakeScores> {
    const found = new Map(
      settings.flatMap(({ id: setting, candidate }) => {
        const scores = known?.scores.get(keyOf(candidate));
        return scores ? [[setting, scores] as const] : [];
      }),
    );
    const before = this.shown.get(id)?.kept ?? NO_SCORES;
    const isSameMap =
      found.size === before.size && [...found].every(([key, scores]) => before.get(key) === scores);
    return isSameMap ? before : found;
  }

  private sameOrNew(row: ComparedTake): ComparedTake {
    const before = this.shown.get(row.id);
    const names = Object.keys(row) as (keyof ComparedTake)[];
    if (before && names.every((name) => before[name] === row[name])) return before;
    this.shown.set(row.id, row);
    return row;
  }

  private async workOut(
    take: TakeSummary,
    work: ComparedWork,
    wants: Wants,
    stopped: AbortSignal,
  ): Promise<void> {
    let entry: Entry | null = null;
    let request: Request<'compare'> | null = null;
    const prepare = async (): Promise<Request<'compare'> | null> => {
      const document = await this.sources.documents.read(take.id, take.revision);
      // Other work goes on with the entry by now.
      if (stopped.aborted) return null;
      entry = this.entryOf(document, work);
      request = missingOf(entry, wants, work);
      return request;
    };
    try {
      const reply = await this.sources.ask(take.id, prepare, stopped);
      if (entry && request && reply) fill(entry, request, reply, KEPT_CANDIDATES + work.settings.length);
      this.problems.delete(take.id);
    } catch (error) {
      if (!stopped.aborted) this.problems.set(take.id, messageOf(error));
    }
  }

  /** The take's entry, made anew where what it rests on has changed. */
  private entryOf(document: TakeDocument, work: ComparedWork): Entry {
    const { id, calibration, powerButton, deflectionButton } = document;
    const kept = this.entries.get(id);
    const labels = work.labels[id] ?? document.labels;
    const key = JSON.stringify([calibration, powerButton, deflectionButton]);
    if (kept !== undefined && kept.key === key && isSame(kept.labels, labels)) {
      kept.document = document;
      kept.labels = labels;
      return kept;
    }
    const entry: Entry = {
      document,
      labels,
      key,
      facts: null,
      stock: null,
      scores: new Map(),
      swept: new Map(),
    };
    this.entries.set(id, entry);
    return entry;
  }
}

/** The part that is still to be asked of a take; null where nothing is. */
function missingOf(
  entry: Entry,
  wants: Wants,
  { candidates: { a, b }, settings }: ComparedWork,
): Request<'compare'> | null {
  const wanted = [a, b, ...settings.map(({ candidate }) => candidate)];
  const asked = wants === 'scores' ? [...new Map(wanted.map((one) => [keyOf(one), one])).values()] : [];
  const candidates = asked.filter((candidate) => !entry.scores.has(keyOf(candidate)));
  const wantsFacts = entry.facts === null;
  const wantsStock = wants === 'stock' && entry.stock === null;
  const sweepAs = wants === 'scores' && !entry.swept.has(gridKeyOf(a)) ? a : null;
  if (candidates.length === 0 && !wantsFacts && !wantsStock && sweepAs === null) return null;
  const { document, labels } = entry;
  const { id, calibration, presses } = document;
  const pressed = {
    presses,
    powerPresses: powerPressesOf(document),
    deflectionPresses: deflectionPressesOf(document),
  };
  const take = { takeId: id, calibration, ...pressed, labels, basis: basisOf(document) };
  return { kind: 'compare', ...take, wantsFacts, wantsStock, candidates, sweepAs };
}

function fill(
  entry: Entry,
  { candidates, sweepAs }: Request<'compare'>,
  reply: CompareReply,
  mostCandidates: number,
): void {
  entry.facts ??= reply.facts;
  entry.stock ??= reply.stock;
  for (const [i, candidate] of candidates.entries())
    keep(entry.scores, keyOf(candidate), reply.scores[i]!, mostCandidates);
  if (sweepAs && reply.swept) keep(entry.swept, gridKeyOf(sweepAs), reply.swept, KEPT_GRIDS);
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

/** The settings of a candidate that a grid depends on. */
function gridKeyOf({ smoothing, guard }: Candidate): string {
  return JSON.stringify([smoothing, guard.releaseRatio, guard.decideAt]);
}

function isSame(a: Labels, b: Labels | undefined): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b);
}
