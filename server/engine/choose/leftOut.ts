interface Named {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
}

/**
 * The held-out check twice: with each take left out in turn, and with all takes of each performer. Names that differ in
 * capitals and spaces alone are one performer's: two of them would each be chosen for with the other's takes. Takes without
 * a name go out together.
 */
export function leftOutInTurn<Grid, HeldOut>(
  swept: readonly { readonly take: Named; readonly part: { readonly grid: Grid } }[],
  check: (parts: { key: string; name: string; grid: Grid }[]) => HeldOut,
): { readonly byTake: HeldOut; readonly byPerformer: HeldOut } {
  return {
    byTake: check(swept.map(({ take, part }) => ({ key: take.id, name: take.title, grid: part.grid }))),
    byPerformer: check(
      swept.map(({ take: { performer }, part }) => ({
        key: performerKey(performer),
        name: performer.trim() || 'no performer named',
        grid: part.grid,
      })),
    ),
  };
}

/** The same for every spelling of one performer's name. */
export function performerKey(performer: string): string {
  return performer.trim().replace(/\s+/g, ' ').toLowerCase();
}
