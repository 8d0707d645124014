/** Changes of light that a second may hold. */
export const MOST_CHANGES = 2;
/** A second, and as much more as one painting may come later to the screen than another. */
const WINDOW_MS = 1200;

/**
 * Keeps changes of light on screen under three a second, however fast the playhead runs or is dragged: a change that would
 * be one too many waits, and what is shown then is the state by that time.
 * Source: WCAG 2.2, success criterion 2.3.1: no more than three flashes, each a pair of changes, in any second.
 */
export class LightHold {
  private shown: string | null = null;
  private changesMs: readonly number[] = [];

  /** What may be shown now of a state that is wanted. The first is no change: nothing was shown before. */
  step(nowMs: number, wanted: string): string {
    this.changesMs = this.changesMs.filter((ms) => nowMs - ms < WINDOW_MS);
    if (this.shown === null) this.shown = wanted;
    if (wanted === this.shown || this.changesMs.length >= MOST_CHANGES) return this.shown;
    this.changesMs = [...this.changesMs, nowMs];
    this.shown = wanted;
    return wanted;
  }

  /** Time until another change may be shown; 0 where it may now. */
  waitMs(nowMs: number): number {
    if (this.changesMs.length < MOST_CHANGES) return 0;
    return Math.max(0, this.changesMs[0]! + WINDOW_MS - nowMs);
  }
}
