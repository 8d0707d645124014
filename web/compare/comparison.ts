import type { TakeScores } from '../../server/engine/compare/takeScores.ts';
import { isSameContent, type TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { TakeStock } from '../../server/engine/plan/takeStock.ts';
import type { TakeSummary } from '../../server/http/schemas.ts';
import { messageOf } from '../state/notices.ts';
import { contentOf } from '../takes/content.ts';
import type { TakeDocuments } from '../takes/documents.ts';
import type { ComparedParts, KnownParts } from '../takes/found.ts';
import type { Request } from '../takes/requests.ts';
import type { CompareReply, Swept, TakeFacts } from './compareTake.ts';
import {
  type ComparedWork,
  type Entry,
  fill,
  gridKeyOf,
  isFresh,
  keyOf,
  missingOf,
  requestOf,
  type Wants,
} from './entry.ts';

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

interface Sources {
  readonly documents: Pick<TakeDocuments, 'read'>;
  /** @param prepare  gives null if nothing is to be asked. */
  ask(
    takeId: string,
    prepare: () => Promise<Request<'compare'> | null>,
    stopped: AbortSignal,
  ): Promise<CompareReply | null>;
  /** Looks up what was found before. */
  known(wanted: readonly ComparedParts[]): Promise<readonly KnownParts[]>;
}

export interface ComparisonProgress {
  readonly done: number;
  readonly total: number;
}

const NO_SCORES: ReadonlyMap<string, TakeScores> = new Map();
/** So many takes are looked up in one go: the first rows do not wait for the last. */
const AT_ONCE = 200;

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
    const left: TakeSummary[] = [];
    for (let at = 0; at < takes.length && !stopped.aborted; at += AT_ONCE) {
      const some = takes.slice(at, at + AT_ONCE);
      await this.recall(some, work, wants, stopped);
      const missing = some.filter((take) => this.missingFor(take, work, wants) !== null);
      left.push(...missing);
      if (missing.length === some.length) continue;
      done += some.length - missing.length;
      tellDone();
    }
    if (stopped.aborted) return;
    const workOut = async (take: TakeSummary): Promise<void> => {
      await this.workOut(take, work, wants, stopped);
      ++done;
      tellDone();
    };
    await Promise.all(left.map(workOut));
  }

  /** Takes in what was found before of takes whose labels nobody has changed here: their documents need not be read for it. */
  private async recall(
    takes: readonly TakeSummary[],
    work: ComparedWork,
    wants: Wants,
    stopped: AbortSignal,
  ): Promise<void> {
    const wanted = takes.flatMap((take) => {
      const parts = this.missingFor(take, work, wants);
      return parts && work.labels[take.id] === undefined ? [parts] : [];
    });
    const known = await this.sources.known(wanted);
    // Other work goes on with the entries by now.
    if (stopped.aborted) return;
    for (const [i, parts] of wanted.entries()) {
      const { facts, stock, swept, scores } = known[i]!;
      const isNothing = [facts, stock, swept, ...scores].every((part) => part === undefined);
      if (isNothing) continue;
      const entry = this.entryFor(parts.takeId, parts.content);
      fill(entry, parts, known[i]!, work);
      this.problems.delete(parts.takeId);
    }
  }

  /** What is still to be asked of a take, as far as the list tells; null where nothing is. */
  private missingFor(take: TakeSummary, work: ComparedWork, wants: Wants): ComparedParts | null {
    const entry = this.entries.get(take.id);
    const known = entry && isFresh(entry, take, work.labels[take.id]) ? entry : null;
    return missingOf(take.id, known?.content ?? take.content, known, wants, work);
  }

  /** What is known of each take under the present work; what an older one gave is not shown. A row that says the same is the same object. */
  rows(takes: readonly TakeSummary[], work: ComparedWork): ComparedTake[] {
    const [a, b] = [keyOf(work.candidates.a), keyOf(work.candidates.b)];
    const gridKey = gridKeyOf(work.candidates.a);
    return takes.map((take) => {
      const { id, title, performer, prop, session, durationS } = take;
      const entry = this.entries.get(id);
      const known = entry && isFresh(entry, take, work.labels[id]) ? entry : undefined;
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
      const labels = work.labels[take.id] ?? document.labels;
      const content = await contentOf(document, labels);
      if (stopped.aborted) return null;
      entry = this.entryFor(take.id, content);
      entry.read = { document, labels };
      const missing = missingOf(take.id, content, entry, wants, work);
      request = missing && requestOf(missing, document, labels);
      return request;
    };
    try {
      const reply = await this.sources.ask(take.id, prepare, stopped);
      if (entry && request && reply) fill(entry, request, reply, work);
      this.problems.delete(take.id);
    } catch (error) {
      if (!stopped.aborted) this.problems.set(take.id, messageOf(error));
    }
  }

  /** The take's entry, made anew where what it rests on has changed. */
  private entryFor(id: string, content: TakeContent): Entry {
    const kept = this.entries.get(id);
    if (kept && isSameContent(kept.content, content)) return kept;
    const entry: Entry = {
      content,
      read: null,
      facts: null,
      stock: null,
      scores: new Map(),
      swept: new Map(),
    };
    this.entries.set(id, entry);
    return entry;
  }
}
