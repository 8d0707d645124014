import type { Span } from '../base/log.ts';
import type { GestureLabel } from './labels.ts';

/** Thrusts, hits and twists of a simulated take. */
export interface SimulatedGestures {
  readonly thrusts?: readonly (Span & { readonly meetsPad?: boolean })[];
  readonly hits?: readonly { readonly timeUs: number }[];
  readonly twists?: readonly Span[];
}

/** A blow is over within this time of its start. */
export const HIT_MS = 20;

/**
 * The gestures as labels, in time order. A thrust into the air is left out: nothing follows it that a stab could end
 * in.
 */
export function simulatedGestures({
  thrusts = [],
  hits = [],
  twists = [],
}: SimulatedGestures): GestureLabel[] {
  const by = 'simulation';
  return [
    ...thrusts
      .filter(({ meetsPad }) => meetsPad !== false)
      .map(({ startUs, endUs }): GestureLabel => ({ startUs, endUs, kind: 'thrust', by })),
    ...hits.map(
      ({ timeUs }): GestureLabel => ({ startUs: timeUs, endUs: timeUs + HIT_MS * 1000, kind: 'hit', by }),
    ),
    ...twists.map(({ startUs, endUs }): GestureLabel => ({ startUs, endUs, kind: 'twist', by })),
  ].sort((a, b) => a.startUs - b.startUs || a.endUs - b.endUs);
}
