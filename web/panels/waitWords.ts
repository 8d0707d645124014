import type { Verdicts } from '../state/verdicts.ts';

/** What is said beside a score, and on asking. */
export interface Notes {
  readonly note?: string;
  readonly title?: string;
}

/** How long the guard stays closed after the blade has come below its speed. */
export function waitText({ guardScore }: Verdicts): string {
  const wait = guardScore.waitAfterStopMs;
  return wait ? `${wait.median.toFixed(0)} ms` : '–';
}

export function waitNote(a: Verdicts, b: Verdicts | null): Notes {
  const wait = a.guardScore.waitAfterStopMs;
  if (!wait) return { note: 'no swing that comes to a stop' };
  const late = b?.guardScore.waitAfterStopMs;
  const p95 = `${wait.p95.toFixed(0)}${late ? ` → ${late.p95.toFixed(0)}` : ''}\u00a0ms`;
  const title = `A pause: the blade stays below the guard’s speed for a second. Stops late counts something else, ends of swings and spins. 95th percentile ${p95}`;
  return { note: wait.n === 1 ? 'one pause' : `median of ${wait.n} pauses of a second`, title };
}
