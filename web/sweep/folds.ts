import type { TakeInput } from './jobs.ts';

/** A take that is swept, with its part of the map. */
export interface Swept<Part> {
  readonly take: TakeInput;
  readonly part: Part;
}

/** The held-out check twice: with each take left out in turn, and with all takes of each performer. */
export function leftOutInTurn<Grid, HeldOut>(
  swept: readonly Swept<{ readonly grid: Grid }>[],
  check: (parts: { key: string; name: string; grid: Grid }[]) => HeldOut,
): { readonly byTake: HeldOut; readonly byPerformer: HeldOut } {
  return {
    byTake: check(swept.map(({ take, part }) => ({ key: take.id, name: take.title, grid: part.grid }))),
    byPerformer: check(
      swept.map(({ take: { performer }, part }) => ({
        key: performer,
        name: performer || 'no performer named',
        grid: part.grid,
      })),
    ),
  };
}
