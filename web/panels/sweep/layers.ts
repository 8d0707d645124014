import { errorsOf } from '../../../server/engine/choose/cost.ts';
import { DEFLECTION } from '../../../server/engine/choose/deflectionProblem.ts';
import type { Weighing } from '../../../server/engine/choose/problem.ts';
import type { GuardGrid } from '../../../server/engine/choose/takeSweep.ts';
import type { DeflectionGrid } from '../../../server/engine/sweep/deflectionSweep.ts';
import type { FireGrid } from '../../../server/engine/sweep/fireGrid.ts';
import type { SweepGrid } from '../../../server/engine/sweep/grid.ts';

/** What a map shows of every cell. */
export interface Layer<Grid> {
  readonly id: string;
  readonly name: string;
  /** What the colours stand for, with the unit. */
  readonly legend: string;
  /** Counts have a colour of their own for none. */
  readonly isCount: boolean;
  of(grid: Grid): ArrayLike<number>;
  format(value: number): string;
  /** What else has to be known to read the map aright. */
  note?(grid: Grid): string | null;
  /** Why the map is empty, where it is. */
  empty(grid: Grid): string | null;
}

type Texts = readonly [id: string, name: string, legend: string];
type Says<Grid> = (grid: Grid) => string | null;

/** A layer that counts what goes wrong. */
function countLayer<Grid>(
  [id, name, legend]: Texts,
  of: Layer<Grid>['of'],
  empty: Says<Grid>,
  note: Says<Grid> = () => null,
): Layer<Grid> {
  return { id, name, legend, isCount: true, of, format: String, note, empty };
}

/** All that goes wrong, each part of it, and the delay of a detector that fires. */
export function fireLayers<Part extends string, Grid extends FireGrid<Part>>(
  problem: Pick<Weighing<Part>, 'errors'>,
  all: string,
  parts: Readonly<Record<Part, readonly [name: string, legend: string]>>,
  delay: string,
  empty: Says<Grid>,
  note?: Says<Grid>,
): readonly Layer<Grid>[] {
  return [
    // A setting that is not to be suggested has a count like any other.
    countLayer(['wrong', 'Wrong in all', all], (grid) => errorsOf({ ...problem, x: ANY }, grid), empty, note),
    ...(Object.entries(parts) as [Part, readonly [string, string]][]).map(([part, [name, legend]]) =>
      countLayer<Grid>([part, name, legend], (grid) => grid.wrong[part], empty, note),
    ),
    {
      id: 'delay',
      name: 'Delay',
      legend: delay,
      isCount: false,
      of: (grid) => grid.timesMs.delayMedianMs,
      format: shownMs,
      empty,
    },
  ];
}

const ANY = { field: '', values: [], step: 1 };

/** Whole milliseconds; before a gesture's labelled start they are negative. */
export function shownMs(ms: number): string {
  const whole = Math.round(ms);
  return `${whole < 0 ? '−' : ''}${Math.abs(whole)} ms`;
}

const percent = (value: number) => (value === 0 ? '0 %' : `${(value * 100).toFixed(value < 0.1 ? 1 : 0)} %`);

/** What a guard's map shows besides what it is judged by. */
const OUTCOME_LAYERS: readonly Layer<GuardGrid>[] = [
  countLayer(
    ['reversals', 'Reversals open', 'reversals at which the guard opens'],
    ({ wrong }) => wrong.reversals,
    ({ sizes }) => (sizes.reversals === 0 ? 'There is no reversal in these takes.' : null),
  ),
  {
    id: 'open',
    name: 'Open share',
    legend: 'part of the spinning time in which the guard is open',
    isCount: false,
    of: (grid) => grid.openShare,
    format: percent,
    empty: ({ sizes }) => (sizes.spinningS === 0 ? 'There is no spinning span in these takes.' : null),
  },
  {
    id: 'wait',
    name: 'Wait after a stop',
    legend: 'median wait until the guard opens after a stop, of the slowest take',
    isCount: false,
    of: ({ timesMs }) => timesMs.waitMedianMs,
    format: shownMs,
    empty: ({ timesMs }) =>
      timesMs.waitMedianMs.every((wait) => Number.isNaN(wait))
        ? 'No swing comes to a stop in these takes.'
        : null,
  },
  {
    id: 'quiet',
    name: 'Closed while quiet',
    legend: 'part of the quiet time (no swing for a second) in which the guard is closed',
    isCount: false,
    of: ({ wrong, sizes }) => Float64Array.from(wrong.quietS, (seconds) => seconds / sizes.quietS),
    format: percent,
    empty: ({ sizes }) => (sizes.quietS === 0 ? 'There is no quiet time in these takes.' : null),
  },
];

/** What a guard's map is judged by: presses, or spins and stops in their place. */
function judgedLayers(
  [all, strays, wanted]: readonly [Texts, Texts, Texts],
  lacks: {
    /** Notes where there is only the other, and why a map is empty. */
    readonly noStrays: readonly [note: string, empty: string];
    readonly noWanted: readonly [note: string, empty: string];
    readonly neither: string;
  },
): readonly Layer<GuardGrid>[] {
  const lacking = ({ sizes }: SweepGrid<string, 'strays' | 'wanted'>, which: 'strays' | 'wanted') =>
    sizes[which] === 0;
  return [
    countLayer(
      all,
      ({ wrong }) => Float64Array.from(wrong.strays, (count, i) => count + wrong.wanted[i]!),
      (grid) => (lacking(grid, 'strays') && lacking(grid, 'wanted') ? lacks.neither : null),
      (grid) =>
        lacking(grid, 'strays') === lacking(grid, 'wanted')
          ? null
          : lacking(grid, 'strays')
            ? lacks.noStrays[0]
            : lacks.noWanted[0],
    ),
    countLayer(
      strays,
      ({ wrong }) => wrong.strays,
      (grid) => (lacking(grid, 'strays') ? lacks.noStrays[1] : null),
    ),
    countLayer(
      wanted,
      ({ wrong }) => wrong.wanted,
      (grid) => (lacking(grid, 'wanted') ? lacks.noWanted[1] : null),
    ),
    ...OUTCOME_LAYERS,
  ];
}

export const GUARD_LAYERS = judgedLayers(
  [
    ['wrong', 'Wrong presses', 'wrong presses'],
    ['strays', 'Strays let through', 'stray presses let through'],
    ['wanted', 'Wanted refused', 'wanted presses refused'],
  ],
  {
    noStrays: ['no press is labelled stray', 'No press is labelled stray.'],
    noWanted: ['no press is labelled wanted', 'No press is labelled wanted.'],
    neither: 'No press is labelled wanted or stray.',
  },
);

export const MOTION_LAYERS = judgedLayers(
  [
    [
      'wrong',
      'Spins open, stops late',
      'spins that are open too long and stops after which the guard is late',
    ],
    ['strays', 'Spins open', 'spins in which the guard is open for more than 1 in 20 of the time'],
    ['wanted', 'Stops late', 'stops after which the guard is still closed once the patience is over'],
  ],
  {
    noStrays: ['there is no spin', 'There is no spin in these takes.'],
    noWanted: ['there is no stop', 'No swing comes to a stop in these takes.'],
    neither: 'There is no spin in these takes.',
  },
);

export const DEFLECTION_LAYERS = fireLayers<'missed' | 'twice' | 'outside', DeflectionGrid>(
  DEFLECTION,
  'swings missed or fired twice, and fires outside any swing',
  {
    missed: ['Missed', 'swings without a deflection'],
    twice: ['Double', 'swings that fire twice or more'],
    outside: ['Outside', 'fires outside any swing'],
  },
  'median delay from a swing’s onset to its fire, of the slowest take',
  ({ sizes }) => (sizes.swings === 0 ? 'There is no swing in these takes.' : null),
);
