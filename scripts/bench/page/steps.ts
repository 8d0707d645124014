import { upperMedian } from '../../../server/engine/statistics/sorted.ts';
import { type ScriptClock, type Times, timesOf } from './measures.ts';

/** Milliseconds by page, round and step; every step was taken by one page after another before the next one. */
export type Costs = readonly (readonly (readonly number[])[])[];

/** What is taken in turn costs on each of several pages. */
export interface InTurn {
  /** A page each. */
  readonly times: readonly Times[];
  /** Of the last page to the first: the median of the rounds' ratios of medians, each of which saw one mood of the machine. */
  readonly ratio: number;
}

export function inTurn(costs: Costs): InTurn {
  const [first, last] = [costs[0]!, costs.at(-1)!];
  const ratios = last.map((round, k) => upperMedian(round) / upperMedian(first[k]!));
  return { times: costs.map((rounds) => timesOf(rounds.flat())), ratio: upperMedian(ratios) };
}

/** Those steps of each round alone that `isWanted` says. */
export function stepsOf(costs: Costs, isWanted: (step: number) => boolean): Costs {
  return costs.map((rounds) => rounds.map((steps) => steps.filter((_, k) => isWanted(k))));
}

/** The script of steps, each from before it to where `settle` ends, on pages in turn: A B A B. */
export async function stepInTurn<Page extends { readonly clock: ScriptClock }>(
  pages: readonly Page[],
  how: {
    readonly rounds: number;
    readonly steps: number;
    step(page: Page, k: number): Promise<void>;
    settle(page: Page, k: number): Promise<unknown>;
  },
): Promise<Costs> {
  const costs: number[][][] = pages.map(() => []);
  for (let round = 0; round < how.rounds; ++round) {
    for (const rounds of costs) rounds.push([]);
    for (let k = 0; k < how.steps; ++k) {
      for (const [place, page] of pages.entries()) {
        const beforeMs = await page.clock.scriptMs();
        await how.step(page, k);
        await how.settle(page, k);
        costs[place]![round]!.push((await page.clock.scriptMs()) - beforeMs);
      }
    }
  }
  return costs;
}
