import { READING_VERSION } from '../../server/engine/base/version.ts';
import type { CompareReply, CompareWants } from '../compare/compareTake.ts';

/** Where answers of earlier days lie, on this computer. */
export interface FoundStore {
  get(key: string): Promise<unknown>;
  put(key: string, value: unknown): Promise<void>;
}

/** A take's columns, named by what they were read from; the server reads the same from the same. */
export type Basis = string;

/**
 * Remembers what was worked out of a take, by a hash of all that it rests on: the columns, what is asked with its labels,
 * calibration and settings, and the program's code itself. A page that is opened again works out what has changed since.
 * Where nothing can be stored, all is worked out as if nothing had been found before.
 */
export class Found {
  private readonly store: FoundStore;
  private readonly code: string;

  /** @param code  names the code that answers; other code, other answers. */
  constructor(store: FoundStore, code: string) {
    this.store = store;
    this.code = code;
  }

  /** @param asked  all that the answer rests on besides the columns and the code; as JSON it must tell one from another. */
  async recall<Value>(basis: Basis, asked: unknown, work: () => Promise<Value>): Promise<Value> {
    const key = await this.keyOf(basis, asked);
    const known = await this.known<Value>(key);
    if (known !== undefined) return known;
    const value = await work();
    await this.note(key, value);
    return value;
  }

  /** The same for a comparison, part by part: what is missing is worked out in one go. */
  async recallCompare(
    basis: Basis,
    request: CompareWants,
    work: (missing: CompareWants) => Promise<CompareReply>,
  ): Promise<CompareReply> {
    const { wantsFacts, wantsStock, candidates, sweepAs, ...take } = request;
    const part = (what: string, of: unknown = null) => this.keyOf(basis, [what, of, take]);
    const [factsKey, stockKey, sweptKey] = await Promise.all([
      part('facts'),
      part('stock'),
      part('swept', sweepAs && [sweepAs.smoothing, sweepAs.guard.releaseRatio, sweepAs.guard.decideAt]),
    ]);
    const keys = await Promise.all(candidates.map((candidate) => part('scores', candidate)));
    // Together: one after the other, each would wait for the browser's store.
    const [facts, stock, swept, ...scores] = await Promise.all([
      wantsFacts ? this.known<CompareReply['facts']>(factsKey) : undefined,
      wantsStock ? this.known<CompareReply['stock']>(stockKey) : undefined,
      sweepAs ? this.known<CompareReply['swept']>(sweptKey) : undefined,
      ...keys.map((key) => this.known<CompareReply['scores'][number]>(key)),
    ]);
    const missing: CompareWants = {
      ...request,
      wantsFacts: wantsFacts && facts === undefined,
      wantsStock: wantsStock && stock === undefined,
      sweepAs: swept === undefined ? sweepAs : null,
      candidates: candidates.filter((_, i) => scores[i] === undefined),
    };
    const isAllKnown =
      !missing.wantsFacts && !missing.wantsStock && !missing.sweepAs && missing.candidates.length === 0;
    if (isAllKnown)
      return {
        facts: facts ?? null,
        stock: stock ?? null,
        swept: swept ?? null,
        scores: scores.map((one) => one!),
      };
    const made = await work(missing);
    const rest = [...made.scores];
    const all = scores.map((one) => one ?? rest.shift()!);
    const news: Promise<void>[] = keys.flatMap((key, i) =>
      scores[i] === undefined ? [this.note(key, all[i])] : [],
    );
    if (missing.wantsFacts) news.push(this.note(factsKey, made.facts));
    if (missing.wantsStock) news.push(this.note(stockKey, made.stock));
    if (missing.sweepAs) news.push(this.note(sweptKey, made.swept));
    await Promise.all(news);
    return {
      facts: facts ?? made.facts,
      stock: stock ?? made.stock,
      swept: swept ?? made.swept,
      scores: all,
    };
  }

  private async keyOf(basis: Basis, asked: unknown): Promise<string> {
    const text = JSON.stringify([this.code, READING_VERSION, basis, asked]);
    const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text));
    return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  }

  private async known<Value>(key: string): Promise<Value | undefined> {
    return (await this.store.get(key).catch(() => undefined)) as Value | undefined;
  }

  /** What cannot be stored, as on a full disk, is worked out again another time. */
  private async note(key: string, value: unknown): Promise<void> {
    await this.store.put(key, value).catch(() => {});
  }
}
