import type { Swing } from '../truth/swings.ts';
import { WindowMatcher } from './match.ts';
import type { MatchWindow } from './matchWindow.ts';

/** A causal channel lags: a fire still belongs to a swing that ended this long ago. */
export const LATE_FIRE_MS = 100;

/**
 * Gives fires to swings, for one list of swings and any number of lists of fires.
 *
 * A fire may belong to a swing from its start to LATE_FIRE_MS after its end. Each swing gets at most one fire, each
 * fire at most one swing, as many pairs as can be, of those the nearest to the peaks; what is left over inside a window
 * goes to the last swing that holds it: the one under way, not the one just ended.
 */
export class FireAssignment {
  /** For each swing the number of its fires, and the time of the first one (µs; undefined where it has none). */
  readonly counts: Int32Array;
  readonly firstUs: Float64Array;
  /** Fires that belong to no swing. */
  outside = 0;
  private readonly windows: readonly MatchWindow[];
  /** The latest end of the windows so far, and the earliest start of those to come, each window's own included: both rise. */
  private readonly endUs: Float64Array;
  private readonly startUs: Float64Array;
  private isTaken = new Uint8Array(0);
  private readonly matcher: WindowMatcher;

  /** @param swings  in the order of their peaks. */
  constructor(swings: readonly Swing[]) {
    this.windows = swings.map(({ startUs, endUs, peakUs }) => {
      return { fromUs: startUs, toUs: endUs + LATE_FIRE_MS * 1000, atUs: peakUs };
    });
    this.endUs = Float64Array.from(this.windows, ({ toUs }) => toUs);
    this.startUs = Float64Array.from(this.windows, ({ fromUs }) => fromUs);
    for (let i = 1; i < swings.length; ++i) this.endUs[i] = Math.max(this.endUs[i]!, this.endUs[i - 1]!);
    for (let i = swings.length - 2; i >= 0; --i)
      this.startUs[i] = Math.min(this.startUs[i]!, this.startUs[i + 1]!);
    this.matcher = new WindowMatcher(this.windows);
    this.counts = new Int32Array(swings.length);
    this.firstUs = new Float64Array(swings.length);
  }

  /** @param fireUs  in time order. */
  assign(fireUs: Float64Array): void {
    const detOfRef = this.matcher.match(fireUs);
    this.counts.fill(0);
    this.outside = 0;
    if (this.isTaken.length < fireUs.length) this.isTaken = new Uint8Array(2 * fireUs.length);
    this.isTaken.fill(0);
    for (let ref = 0; ref < detOfRef.length; ++ref) {
      const det = detOfRef[ref]!;
      if (det < 0) continue;
      this.isTaken[det] = 1;
      this.add(ref, fireUs[det]!);
    }
    this.addLeftOver(fireUs);
  }

  /** Whether a moment may belong to a swing. */
  isInside(momentUs: number): boolean {
    return this.windows.some(({ fromUs, toUs }) => fromUs <= momentUs && momentUs <= toUs);
  }

  private addLeftOver(fireUs: Float64Array): void {
    let first = 0;
    for (let det = 0; det < fireUs.length; ++det) {
      if (this.isTaken[det] === 1) continue;
      while (first < this.windows.length && this.endUs[first]! < fireUs[det]!) ++first;
      const owner = this.lastHolding(first, fireUs[det]!);
      if (owner < 0) ++this.outside;
      else this.add(owner, fireUs[det]!);
    }
  }

  private add(swing: number, fireUs: number): void {
    if (this.counts[swing] === 0 || fireUs < this.firstUs[swing]!) this.firstUs[swing] = fireUs;
    this.counts[swing]! += 1;
  }

  private lastHolding(first: number, momentUs: number): number {
    let owner = -1;
    for (let i = first; i < this.windows.length && this.startUs[i]! <= momentUs; ++i) {
      const { fromUs, toUs } = this.windows[i]!;
      if (fromUs <= momentUs && momentUs <= toUs) owner = i;
    }
    return owner;
  }
}
