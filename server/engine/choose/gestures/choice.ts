import { ENOUGH_ROOM, findPlateau, type Plateau, type Rise, riseWithin } from '../../sweep/plateau.ts';
import { type Wrong, wrongOf } from '../claim.ts';
import { DEFLECTION_STEP } from '../deflectionChoice.ts';
import { combined } from '../leaveOut.ts';
import type { GestureMapKind } from './maps.ts';
import type { GestureGrid } from './take.ts';

/** What of a sweep a choice rests on. */
export type GestureOutcome = Omit<GestureGrid, 'delayMedianMs'>;

export interface GestureSuggestion {
  readonly kind: 'suggestion';
  readonly map: GestureMapKind;
  readonly x: number;
  readonly y: number;
  readonly plateau: GesturePlateau;
  /** Fewest that any setting gets wrong. */
  readonly fewestWrong: number;
  /** Place of the suggestion in the grid. */
  readonly cell: number;
  /** 1 for every cell of the plateau. */
  readonly region: Uint8Array;
  readonly gestures: number;
  readonly missed: Wrong;
  readonly again: number;
  readonly outside: number;
  /** So many more gestures and fires may be wrong within the margins. */
  readonly moreWrong: Rise;
  /** Longest of the takes' medians; null where no gesture fires. */
  readonly delayMs: number | null;
}

/** The most central point of the plateau with about the fewest gestures and fires wrong, whatever it is worth. */
export function suggestGesture(map: GestureMapKind, grid: GestureGrid): GestureSuggestion {
  const plateau = gesturePlateau(grid);
  const cell = plateau.xIndex * grid.ys.length + plateau.yIndex;
  const missed = grid.missed[cell]!;
  const delayMs = grid.delayMedianMs[cell]!;
  return {
    kind: 'suggestion',
    map,
    x: plateau.x,
    y: plateau.y,
    plateau,
    fewestWrong: leastOf(wrongCounts(grid)),
    cell,
    region: plateau.region,
    gestures: grid.gestures,
    missed: wrongOf(missed, grid.gestures),
    again: grid.again[cell]!,
    outside: grid.outside[cell]!,
    moreWrong: riseWithin(plateau, grid.ys.length, wrongCounts(grid)),
    delayMs: Number.isNaN(delayMs) ? null : delayMs,
  };
}

/** With less room than this the best setting stands on a knife's edge: an error of a sensor and a little of the hand's. */
const LEAST_ROOM = 0.1;

/** The setting to choose, and how it compares with the best where that has next to no room. */
export interface GesturePlateau extends Plateau {
  /** Room of the best setting, where one more wrong is accepted for the sake of room; null where none is. */
  readonly tightRoom: number | null;
}

/**
 * The most central of the best settings. But where that has next to no room, one odd gesture or fire has pushed it there:
 * then one more wrong is accepted, if that gives enough room.
 */
export function gesturePlateau(outcome: GestureOutcome): GesturePlateau {
  const best = plateauOf(outcome, 0);
  if (best.room >= LEAST_ROOM) return { ...best, tightRoom: null };
  const wider = plateauOf(outcome, 1);
  return wider.room >= ENOUGH_ROOM ? { ...wider, tightRoom: best.room } : { ...best, tightRoom: null };
}

function plateauOf(outcome: GestureOutcome, slack: number): Plateau {
  const { xs, ys } = outcome;
  // No count is NaN: there is always a best one.
  return findPlateau([...xs], [...ys], gestureCost(outcome, slack), 'middle')!;
}

/**
 * Gestures missed, fires beyond a gesture's first and fires outside any, alike; counted from the best setting on, in
 * the deflection's steps of 1 in 50.
 * @param slack  so many more cost nothing.
 */
export function gestureCost(outcome: GestureOutcome, slack = 0): Float64Array {
  const wrong = wrongCounts(outcome);
  const best = leastOf(wrong);
  const step = Math.max(1, DEFLECTION_STEP * outcome.gestures);
  return wrong.map((count) => Math.floor(Math.max(0, count - best - slack) / step + 1e-9));
}

function leastOf(counts: Float64Array): number {
  let least = Infinity;
  for (const count of counts) if (count < least) least = count;
  return least;
}

export function wrongCounts({ missed, again, outside }: GestureOutcome): Float64Array {
  return Float64Array.from(missed, (count, i) => count + again[i]! + outside[i]!);
}

/**
 * Two outcomes as one: counts add up.
 * @param sign  −1 takes the second off again.
 * @throws RangeError  where they are over other settings.
 */
export function joinOutcomes<Outcome extends GestureOutcome>(
  a: Outcome,
  b: GestureOutcome,
  sign: 1 | -1,
): Outcome {
  if (`${a.xs} ${a.ys}` !== `${b.xs} ${b.ys}`) throw new RangeError('the sweeps are over different settings');
  return {
    ...a,
    gestures: a.gestures + sign * b.gestures,
    others: a.others + sign * b.others,
    outsideS: a.outsideS + sign * b.outsideS,
    missed: combined(a.missed, b.missed, sign),
    again: combined(a.again, b.again, sign),
    outside: combined(a.outside, b.outside, sign),
  };
}

/** Two takes' grids as one; of the delays the longest of the takes' medians is kept. */
export function joinGrids(a: GestureGrid, b: GestureGrid): GestureGrid {
  const delayMedianMs = a.delayMedianMs.map((ms, i) => {
    const other = b.delayMedianMs[i]!;
    return Number.isNaN(other) || ms >= other ? ms : other;
  });
  return { ...joinOutcomes(a, b, 1), delayMedianMs };
}
