import { SWING_MIN_PEAK_DPS } from '../truth/swings.ts';
import type { GuardGrid } from './takeSweep.ts';

/** Of reversals and of quiet time, less than this part may go wrong before a setting counts as worse for it. */
export const STEP = 0.05;
const ERROR_COST = 1000;

/** What of a grid a choice rests on. */
export type Outcome = Pick<
  GuardGrid,
  | 'speedsDps'
  | 'holdsMs'
  | 'strays'
  | 'wanted'
  | 'strayLetThrough'
  | 'wantedRefused'
  | 'reversals'
  | 'reversalsOpen'
  | 'quietS'
  | 'quietClosedS'
>;

/**
 * The cost of every cell. First the presses that come out wrong, strays let through and wanted ones refused alike. Among
 * equals, in steps of 1 in 20, the reversals at which the guard opens, and the quiet time in which it is closed: a stray
 * press may come at any reversal, a wanted one at any quiet moment, and there are far more of both than of labelled
 * presses. The step keeps a single odd one from pushing the choice to the edge.
 *
 * NaN for a speed below that of the slowest swing: it would guard against carrying the blade.
 */
export function costOf(outcome: Outcome): Float64Array {
  const { speedsDps, holdsMs, strayLetThrough, wantedRefused } = outcome;
  const cost = new Float64Array(strayLetThrough.length);
  for (let i = 0; i < cost.length; ++i) {
    const wrong = strayLetThrough[i]! + wantedRefused[i]!;
    cost[i] = isSwingSpeed(speedsDps[Math.floor(i / holdsMs.length)]!)
      ? ERROR_COST * wrong + stepsAt(outcome, i)
      : Number.NaN;
  }
  return cost;
}

/** Slower than the slowest swing, a guard would close on a blade that is carried. */
export function isSwingSpeed(speedDps: number): boolean {
  return speedDps >= SWING_MIN_PEAK_DPS;
}

/** Steps of 1 in 20 that a cell loses to open reversals and to closed quiet time. */
function stepsAt({ reversals, reversalsOpen, quietS, quietClosedS }: Outcome, cell: number): number {
  return stepsOf(reversalsOpen[cell]!, reversals) + stepsOf(quietClosedS[cell]!, quietS);
}

/** 0 for less than 1 in 20. */
export function stepsOf(part: number, whole: number): number {
  return whole === 0 ? 0 : Math.floor(part / (STEP * whole) + 1e-9);
}
