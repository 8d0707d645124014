import { MOTION_COLUMNS, type MotionLog } from '../../server/engine/base/log.ts';
import type { LiveNewsBody } from '../../server/http/schemas.ts';

/** Of a longer recording the first so many rows are counted: a quarter of an hour at 1 kHz. */
const ROWS_AT_MOST = 900_000;
const FIRST_ROWS = 16_384;
/** A clock that begins anew goes on so far behind the row before: a gap at any rate of 100 Hz and more. */
const ANEW_US = 100_000;
/** All rows of a recording that this page has been told of. */
export class RecordedRows {
  count = 0;
  private columns = [0, ...MOTION_COLUMNS].map(() => new Float64Array(FIRST_ROWS));
  private shiftUs = 0;

  add({ timeUs, columns }: LiveNewsBody['batches'][number]): void {
    for (const [row, stampUs] of timeUs.entries()) {
      const lastUs = this.count === 0 ? Number.NEGATIVE_INFINITY : this.columns[0]![this.count - 1]!;
      // Whole microseconds, as a take has them.
      let shownUs = Math.round(stampUs + this.shiftUs);
      if (lastUs - shownUs > ANEW_US) {
        this.shiftUs += lastUs + ANEW_US - shownUs;
        shownUs = lastUs + ANEW_US;
      }
      if (shownUs <= lastUs || this.count >= ROWS_AT_MOST) continue;
      if (this.count === this.columns[0]!.length) this.grow();
      this.columns[0]![this.count] = shownUs;
      for (const [i, column] of columns.entries()) this.columns[i + 1]![this.count] = column[row]!;
      ++this.count;
    }
  }

  /** A copy, to be sent to a thread. */
  log(): MotionLog {
    const [timeUs, ...channels] = this.columns.map((column) => column.slice(0, this.count));
    const named = MOTION_COLUMNS.map((name, i) => [name, channels[i]!] as const);
    return { timeUs: timeUs!, ...Object.fromEntries(named) } as MotionLog;
  }

  private grow(): void {
    this.columns = this.columns.map((column) => {
      const larger = new Float64Array(2 * column.length);
      larger.set(column);
      return larger;
    });
  }
}
