import { type GestureKind, type GestureLabel, type Labels, settleGestures } from './labels.ts';

/** The labelled gestures of a kind as a choice of settings uses them. */
export interface ConfirmedGestures {
  /** Gestures of people and simulations, in time order. */
  readonly gestures: readonly GestureLabel[];
  /** Gestures of the program that none of these overlaps: they count for nothing until a person confirms them. */
  readonly unconfirmed: readonly GestureLabel[];
  /** Whether a fire outside them is known to be false; see `GestureScore.falseFires`. */
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

/**
 * Whether a simulation made any of the labels. It labels everything that it does, so what it did not label did not
 * happen.
 */
export function isSimulated({ presses, spans, swings, gestures = [] }: Labels): boolean {
  return [...presses, ...spans, ...swings, ...gestures].some(({ by }) => by === 'simulation');
}
