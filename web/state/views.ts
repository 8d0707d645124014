interface ViewFacts {
  readonly name: string;
  /** The open take, those that are chosen in the view, or all: then no take need be open, and none is read for it. */
  readonly looksAt: 'openTake' | 'chosenTakes' | 'workspace';
  /** Beside it stands what concerns the guard alone. */
  readonly isOfGuard?: boolean;
}

/** What the middle of the page shows, in the order of the tabs. `web/panels/views.tsx` has the component of each. */
const FACTS = {
  tune: { name: 'Tune', looksAt: 'openTake' },
  replay: { name: 'Replay', looksAt: 'openTake' },
  reversals: { name: 'Reversals', looksAt: 'chosenTakes', isOfGuard: true },
  sweep: { name: 'Sweep', looksAt: 'chosenTakes' },
  signal: { name: 'Signal check', looksAt: 'openTake' },
  bench: { name: 'Filter bench', looksAt: 'openTake' },
  compare: { name: 'Compare', looksAt: 'workspace' },
  plan: { name: 'Plan', looksAt: 'workspace' },
  kept: { name: 'Kept settings', looksAt: 'workspace' },
  live: { name: 'Live', looksAt: 'workspace' },
} as const satisfies Readonly<Record<string, ViewFacts>>;

export type View = keyof typeof FACTS;

export const VIEW_FACTS: Readonly<Record<View, ViewFacts>> = FACTS;

export const VIEWS = Object.keys(FACTS) as readonly View[];
