import { READING_VERSION } from '../../server/engine/base/version.ts';
import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { CompareReply, CompareWants } from '../compare/compareTake.ts';
import { gridBasisOf } from '../compare/gridBasis.ts';
import { sha256 } from './content.ts';

/** Where answers of earlier days lie, on this computer. */
export interface FoundStore {
  /** In the order of the keys; undefined where nothing lies there. */
  get(keys: readonly string[]): Promise<readonly unknown[]>;
  put(key: string, value: unknown): Promise<void>;
}

/** What an answer rests on of its take: its signals alone, or its labels as well. */
export type Basis = Pick<TakeContent, 'signals'> & Partial<TakeContent>;

/** An answer, named by all that it rests on. */
export interface Named {
  readonly basis: Basis;
  /** All besides the take's content and the code; as JSON it must tell one from another. */
  readonly asked: unknown;
}

/** What is wanted of a take's comparison, as far as its content does not tell. */
export type ComparedParts = Pick<
  CompareWants,
  'takeId' | 'content' | 'wantsFacts' | 'wantsStock' | 'candidates' | 'sweepAs'
>;

/** Of a comparison, as far as it is known; undefined is not. */
export interface KnownParts {
  readonly facts: CompareReply['facts'] | undefined;
  readonly stock: CompareReply['stock'] | undefined;
  readonly swept: CompareReply['swept'] | undefined;
  /** In the order of the candidates asked for. */
  readonly scores: readonly (CompareReply['scores'][number] | undefined)[];
}

/**
 * Remembers what was worked out of a take, by a hash of all that it rests on: the take's content, what is asked of it, and the
 * program's code itself. A page that is opened again works out what has changed since. Where nothing can be stored, all is
 * worked out as if nothing had been found before.
 */
export class Found {
  private readonly store: FoundStore;
  private readonly code: string;

  /** @param code  names the code that answers; other code, other answers. */
  constructor(store: FoundStore, code: string) {
    this.store = store;
    this.code = code;
  }

  async recall<Value>(named: Named, work: () => Promise<Value>): Promise<Value> {
    const key = await this.keyOf(named);
    const [known] = await this.at<Value>([key]);
    if (known !== undefined) return known;
    const value = await work();
    await this.note(key, value);
    return value;
  }

  /** Looks many up in one go: one after the other, each would wait for the browser's store. */
  async known<Value>(named: readonly Named[]): Promise<readonly (Value | undefined)[]> {
    return named.length === 0 ? [] : this.at<Value>(await Promise.all(named.map((one) => this.keyOf(one))));
  }

  async keep(named: Named, value: unknown): Promise<void> {
    await this.note(await this.keyOf(named), value);
  }

  /** What is known of the comparisons of many takes. */
  async knownParts(wanted: readonly ComparedParts[]): Promise<readonly KnownParts[]> {
    const named = wanted.map(namedParts);
    const known = await this.known(named.flat());
    let next = 0;
    return wanted.map(({ wantsFacts, wantsStock, sweepAs, candidates }) => {
      const take = (isWanted: boolean) => (isWanted ? known[next++] : undefined);
      return {
        facts: take(wantsFacts),
        stock: take(wantsStock),
        swept: take(sweepAs !== null),
        scores: candidates.map(() => take(true)),
      } as KnownParts;
    });
  }

  /** As `recall` for a comparison, part by part: what is missing is worked out in one go. */
  async recallCompare<Wants extends ComparedParts>(
    request: Wants,
    work: (missing: Wants) => Promise<CompareReply>,
  ): Promise<CompareReply> {
    const { wantsFacts, wantsStock, candidates, sweepAs } = request;
    const [known] = await this.knownParts([request]);
    const { facts, stock, swept, scores } = known!;
    const missing: Wants = {
      ...request,
      wantsFacts: wantsFacts && facts === undefined,
      wantsStock: wantsStock && stock === undefined,
      sweepAs: swept === undefined ? sweepAs : null,
      candidates: candidates.filter((_, i) => scores[i] === undefined),
    };
    if (!wantsAny(missing))
      return {
        facts: facts ?? null,
        stock: stock ?? null,
        swept: swept ?? null,
        scores: scores.map((one) => one!),
      };
    const made = await work(missing);
    await this.noteParts(missing, made);
    const rest = [...made.scores];
    return {
      facts: facts ?? made.facts,
      stock: stock ?? made.stock,
      swept: swept ?? made.swept,
      scores: scores.map((one) => one ?? rest.shift()!),
    };
  }

  private async noteParts(asked: ComparedParts, made: CompareReply): Promise<void> {
    const values = [
      ...(asked.wantsFacts ? [made.facts] : []),
      ...(asked.wantsStock ? [made.stock] : []),
      ...(asked.sweepAs ? [made.swept] : []),
      ...made.scores,
    ];
    await Promise.all(namedParts(asked).map((named, i) => this.keep(named, values[i])));
  }

  private keyOf({ basis: { signals, labels }, asked }: Named): Promise<string> {
    return sha256(JSON.stringify([this.code, READING_VERSION, signals, labels ?? null, asked]));
  }

  private async at<Value>(keys: readonly string[]): Promise<readonly (Value | undefined)[]> {
    const known = await this.store.get(keys).catch(() => []);
    return keys.map((_, i) => known[i] as Value | undefined);
  }

  /** What cannot be stored, as on a full disk, is worked out again another time. */
  private async note(key: string, value: unknown): Promise<void> {
    await this.store.put(key, value).catch(() => {});
  }
}

export function wantsAny({ wantsFacts, wantsStock, sweepAs, candidates }: ComparedParts): boolean {
  return wantsFacts || wantsStock || sweepAs !== null || candidates.length > 0;
}

/** A name for each part that is wanted: facts, stock, the grid, and each candidate's scores. */
function namedParts({
  takeId,
  content,
  wantsFacts,
  wantsStock,
  candidates,
  sweepAs,
}: ComparedParts): readonly Named[] {
  const named = (what: string, of: unknown = null): Named => ({ basis: content, asked: [what, takeId, of] });
  return [
    ...(wantsFacts ? [named('facts')] : []),
    ...(wantsStock ? [named('stock')] : []),
    ...(sweepAs ? [named('swept', gridBasisOf(sweepAs))] : []),
    ...candidates.map((candidate) => named('scores', candidate)),
  ];
}
