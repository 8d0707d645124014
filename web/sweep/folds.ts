import type { JobTake } from './jobs.ts';

/** What was found of takes, in the takes' order, whichever was swept first. */
export function inOrder<Found extends { readonly take: JobTake }>(
  found: readonly Found[],
  takes: readonly JobTake[],
): Found[] {
  const places = new Map(takes.map((take, i) => [take, i]));
  return [...found].sort((a, b) => places.get(a.take)! - places.get(b.take)!);
}

/**
 * The held-out check twice: with each take left out in turn, and with all takes of each performer. Names that differ in
 * capitals and spaces alone are one performer's: two of them would each be chosen for with the other's takes. Takes without
 * a name go out together.
 */
export function leftOutInTurn<Grid, HeldOut>(
  swept: readonly { readonly take: JobTake; readonly part: { readonly grid: Grid } }[],
  check: (parts: { key: string; name: string; grid: Grid }[]) => HeldOut,
): { readonly byTake: HeldOut; readonly byPerformer: HeldOut } {
  return {
    byTake: check(swept.map(({ take, part }) => ({ key: take.id, name: take.title, grid: part.grid }))),
    byPerformer: check(
      swept.map(({ take: { performer }, part }) => ({
        key: performer.trim().replace(/\s+/g, ' ').toLowerCase(),
        name: performer.trim() || 'no performer named',
        grid: part.grid,
      })),
    ),
  };
}
