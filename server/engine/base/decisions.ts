import type { Span } from './log.ts';

/** What a prop can tell of in the column of fires: its detectors, and the steps of its dial. */
export const FIRE_KINDS = ['deflection', 'impact', 'stab', 'twist', 'dial'] as const;
export type FireKind = (typeof FIRE_KINDS)[number];

/** A moment at which the prop fired. Microseconds since the take's start. */
export interface LoggedFire {
  readonly kind: FireKind;
  readonly atUs: number;
  /** Of the dial: how many steps, negative downward; 1 for all else. */
  readonly steps: number;
}

/** What a prop logged of its own decisions; null where the log has no such column, or one that cannot be read. */
export interface LoggedDecisions {
  readonly guardClosed: readonly Span[] | null;
  /** The rows at which it says that a press is refused. Microseconds since the take's start. */
  readonly refusedUs: readonly number[] | null;
  readonly fires: readonly LoggedFire[] | null;
}
