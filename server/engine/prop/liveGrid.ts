import { GAP_STEPS } from '../base/timeBase.ts';

/** How far back a late row may stand and still be no new start of the clock, in steps. */
const LATE_STEPS = 20;
const CHANNELS = 6;

/** What takes samples off the grid, one after the other. */
export interface GridSink {
  /** A gap, or a start: the next sample follows nothing. */
  begin(timeUs: number): void;
  sample(timeUs: number, values: Float64Array): void;
}

/**
 * Puts rows on an even grid as they come: a row at a time, between rows in a straight line, and begun anew behind a gap, just
 * as `buildTimeBase` does with a whole log at the same rate.
 */
export class LiveGrid {
  /** Rows that should have come and did not. */
  lostRows = 0;
  gaps = 0;
  /** Rows whose stamp is not behind the one before. */
  lateRows = 0;
  private readonly stepUs: number;
  private readonly sink: GridSink;
  private readonly before = new Float64Array(CHANNELS);
  private readonly out = new Float64Array(CHANNELS);
  private beforeUs = Number.NaN;
  private startUs = 0;
  private count = 0;

  constructor(rateHz: number, sink: GridSink) {
    this.stepUs = 1e6 / rateHz;
    this.sink = sink;
  }

  /** @param columns  six channels @param row  which of their rows */
  push(timeUs: number, columns: readonly Float64Array[], row: number): void {
    const stepUs = timeUs - this.beforeUs;
    if (stepUs <= 0 && stepUs >= -LATE_STEPS * this.stepUs) {
      ++this.lateRows;
      return;
    }
    // Written so that the first row, which follows nothing, begins too.
    if (!(stepUs > 0 && stepUs <= GAP_STEPS * this.stepUs)) this.begin(timeUs, stepUs);
    else this.lostRows += Math.max(0, Math.round(stepUs / this.stepUs) - 1);
    for (;;) {
      const gridUs = this.startUs + Math.round(this.count * this.stepUs);
      if (gridUs > timeUs) break;
      const part = gridUs === timeUs ? 1 : (gridUs - this.beforeUs) / (timeUs - this.beforeUs);
      for (let i = 0; i < CHANNELS; ++i) {
        const value = columns[i]![row]!;
        const from = this.before[i]!;
        this.out[i] = part === 1 ? value : part === 0 ? from : from + part * (value - from);
      }
      this.sink.sample(gridUs, this.out);
      ++this.count;
    }
    this.beforeUs = timeUs;
    for (let i = 0; i < CHANNELS; ++i) this.before[i] = columns[i]![row]!;
  }

  private begin(timeUs: number, stepUs: number): void {
    if (!Number.isNaN(this.beforeUs)) ++this.gaps;
    if (stepUs > 0) this.lostRows += Math.round(stepUs / this.stepUs) - 1;
    this.startUs = timeUs;
    this.count = 0;
    this.sink.begin(timeUs);
  }
}
