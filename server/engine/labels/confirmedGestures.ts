import { type GestureKind, type GestureLabel, type Labels, settleGestures } from './labels.ts';

/** The labelled gestures of a kind as a choice of settings uses them. */
export interface ConfirmedGestures {
  /** Those of people and simulations, in time order. */
  readonly gestures: readonly GestureLabel[];
  /** Those of the program that none of these overlaps: they count for nothing until a person confirms them. */
  readonly unconfirmed: readonly GestureLabel[];
  /** Whether what lies outside them is told to be none; see `GestureScore.falseFires`. */
  readonly tellsOutside: boolean;
}

export function confirmedGestures(labels: Labels, kind: GestureKind): ConfirmedGestures {
  const settled = settleGestures(labels, kind);
  const gestures = settled.filter(({ by }) => by !== 'program');
  return {
    gestures,
    unconfirmed: settled.filter(({ by }) => by === 'program'),
    tellsOutside: gestures.length > 0 || isSimulated(labels),
  };
}

/** A simulation labels all that it does: where it labelled anything, what it did not label is not there. */
export function isSimulated({ presses, spans, swings, gestures = [] }: Labels): boolean {
  return [...presses, ...spans, ...swings, ...gestures].some(({ by }) => by === 'simulation');
}
