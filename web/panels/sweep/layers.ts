import type { GuardGrid } from '../../../server/engine/choose/takeSweep.ts';
import type { DeflectionSweep } from '../../../server/engine/sweep/deflectionSweep.ts';

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

const count = (value: number) => String(value);
const percent = (value: number) => (value === 0 ? '0 %' : `${(value * 100).toFixed(value < 0.1 ? 1 : 0)} %`);
const ms = (value: number) => `${value.toFixed(0)} ms`;

export const GUARD_LAYERS: readonly Layer<GuardGrid>[] = [
  {
    id: 'wrong',
    name: 'Wrong presses',
    legend: 'strays let through and wanted presses refused',
    isCount: true,
    of: (grid) => grid.strayLetThrough.map((through, i) => through + grid.wantedRefused[i]!),
    format: count,
    note: ({ strays, wanted }) =>
      strays + wanted === 0
        ? null
        : strays === 0
          ? 'no press is labelled stray'
          : wanted === 0
            ? 'no press is labelled wanted'
            : null,
    empty: (grid) => (grid.strays + grid.wanted === 0 ? 'No press is labelled wanted or stray.' : null),
  },
  {
    id: 'strays',
    name: 'Strays let through',
    legend: 'stray presses let through',
    isCount: true,
    of: (grid) => grid.strayLetThrough,
    format: count,
    empty: (grid) => (grid.strays === 0 ? 'No press is labelled stray.' : null),
  },
  {
    id: 'wanted',
    name: 'Wanted refused',
    legend: 'wanted presses refused',
    isCount: true,
    of: (grid) => grid.wantedRefused,
    format: count,
    empty: (grid) => (grid.wanted === 0 ? 'No press is labelled wanted.' : null),
  },
  {
    id: 'reversals',
    name: 'Reversals open',
    legend: 'reversals at which the guard opens',
    isCount: true,
    of: (grid) => grid.reversalsOpen,
    format: count,
    empty: (grid) => (grid.reversals === 0 ? 'There is no reversal in these takes.' : null),
  },
  {
    id: 'open',
    name: 'Open share',
    legend: 'part of the spinning time in which the guard is open',
    isCount: false,
    of: (grid) => grid.openShare,
    format: percent,
    empty: (grid) => (grid.spinningS === 0 ? 'There is no spinning span in these takes.' : null),
  },
  {
    id: 'wait',
    name: 'Wait after a stop',
    legend: 'median wait until the guard opens after a stop, of the slowest take',
    isCount: false,
    of: (grid) => grid.waitMedianMs,
    format: ms,
    empty: (grid) =>
      grid.waitMedianMs.every((wait) => Number.isNaN(wait))
        ? 'No swing comes to a stop in these takes.'
        : null,
  },
  {
    id: 'quiet',
    name: 'Closed while quiet',
    legend: 'part of the quiet time (no swing for a second) in which the guard is closed',
    isCount: false,
    of: (grid) => grid.quietClosedS.map((seconds) => seconds / grid.quietS),
    format: percent,
    empty: (grid) => (grid.quietS === 0 ? 'There is no quiet time in these takes.' : null),
  },
];

const noSwings = (grid: DeflectionSweep) => (grid.swings === 0 ? 'There is no swing in these takes.' : null);

export const DEFLECTION_LAYERS: readonly Layer<DeflectionSweep>[] = [
  {
    id: 'wrong',
    name: 'Wrong in all',
    legend: 'swings missed or fired twice, and fires outside any swing',
    isCount: true,
    of: (grid) => grid.missed.map((missed, i) => missed + grid.twice[i]! + grid.outside[i]!),
    format: count,
    empty: noSwings,
  },
  {
    id: 'missed',
    name: 'Missed',
    legend: 'swings without a deflection',
    isCount: true,
    of: (grid) => grid.missed,
    format: count,
    empty: noSwings,
  },
  {
    id: 'twice',
    name: 'Double',
    legend: 'swings that fire twice or more',
    isCount: true,
    of: (grid) => grid.twice,
    format: count,
    empty: noSwings,
  },
  {
    id: 'outside',
    name: 'Outside',
    legend: 'fires outside any swing',
    isCount: true,
    of: (grid) => grid.outside,
    format: count,
    empty: noSwings,
  },
  {
    id: 'delay',
    name: 'Delay',
    legend: 'median delay from a swing’s onset to its fire, of the slowest take',
    isCount: false,
    of: (grid) => grid.delayMedianMs,
    format: ms,
    empty: noSwings,
  },
];
