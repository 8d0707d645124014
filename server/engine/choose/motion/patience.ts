import { STOP_MS } from '../../score/waitAfterStop.ts';

/**
 * How long after a stop the performer waits before pressing. It says something of the performer, not of the prop: so it
 * belongs to the view that judges by motion, and no candidate holds it.
 */
export const PATIENCE = {
  name: 'patience',
  unit: 'ms',
  min: 50,
  /** A stop is known by the second after it: some of that has to be left. */
  max: STOP_MS - 100,
  default: 300,
} as const;
