import type { Mount } from '../../server/engine/base/mount.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { REST_MS } from '../../server/engine/motion/stillMask.ts';
import { LiveGrid } from '../../server/engine/prop/liveGrid.ts';
import { PropDetectors } from '../../server/engine/prop/propDetectors.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { LiveNewsBody } from '../../server/http/schemas.ts';

/** So much is shown. */
export const SHOWN_S = 20;
/** Of a device that begins its clock anew: how far behind the last row the next one is shown. */
const ANEW_US = 100_000;
/** More are not kept, however fast a log is. */
const SAMPLES_AT_MOST = 400_000;
const FATES_KEPT = 200;

/** Null where the candidate acts when the button is let go: that is judged once it is a take. */
export interface LivePress {
  readonly timeUs: number;
  readonly isRefusedByA: boolean | null;
  readonly isRefusedByB: boolean | null;
}

/** Bits of `marks`. */
export const CLOSED_A = 1;
export const CLOSED_B = 2;
export const FIRES_A = 4;
export const FIRES_B = 8;
/** Nothing came just before it. */
export const BEGINS = 16;

/**
 * The last seconds of a recording, decided a sample at a time by the code that the prop's reference is made of. It finds the
 * gyro's bias as a prop does, at each rest, where a take is given the bias of its whole rest: near a threshold the two may
 * differ by a sample.
 */
export class LiveTrack {
  readonly rateHz: number;
  /** A ring: sample `i` of all that came stands at `i % capacity`. */
  readonly capacity: number;
  readonly timeUs: Float64Array;
  readonly speedDps: Float32Array;
  readonly thrustG: Float32Array;
  readonly marks: Uint8Array;
  readonly presses: LivePress[] = [];
  count = 0;
  rows = 0;
  leftOut = 0;
  firesA = 0;
  firesB = 0;
  /** How long it has lain still up to now. */
  restS = 0;
  /** The longest of its rests so far. */
  longestRestS = 0;
  /** The last row's stamp, as the device counts. */
  lastRowUs = Number.NaN;
  private readonly grid: LiveGrid;
  private readonly a: PropDetectors;
  private readonly b: PropDetectors;
  private readonly decideAtDown: { readonly a: boolean; readonly b: boolean };
  private shiftUs = 0;
  private begins = true;

  constructor(
    { rateHz, mount }: { readonly rateHz: number; readonly mount: Mount },
    { a, b }: { readonly a: Candidate; readonly b: Candidate },
  ) {
    this.rateHz = rateHz;
    this.capacity = Math.min(SAMPLES_AT_MOST, Math.ceil((SHOWN_S + 1) * rateHz));
    this.timeUs = new Float64Array(this.capacity);
    this.speedDps = new Float32Array(this.capacity);
    this.thrustG = new Float32Array(this.capacity);
    this.marks = new Uint8Array(this.capacity);
    this.decideAtDown = { a: a.guard.decideAt === 'press', b: b.guard.decideAt === 'press' };
    const calibration = { ...DEFAULT_CALIBRATION, mount };
    this.a = new PropDetectors(a, calibration, rateHz, true);
    this.b = new PropDetectors(b, calibration, rateHz, true);
    this.grid = new LiveGrid(rateHz, {
      begin: (timeUs) => this.begin(timeUs),
      sample: (timeUs, values) => this.sample(timeUs, values),
    });
  }

  get lostRows(): number {
    return this.grid.lostRows;
  }

  get gaps(): number {
    return this.grid.gaps;
  }

  /** When the last sample was, on the axis that is shown. */
  get lastUs(): number {
    return this.count === 0 ? 0 : this.timeUs[(this.count - 1) % this.capacity]!;
  }

  get lastMarks(): number {
    return this.count === 0 ? 0 : this.marks[(this.count - 1) % this.capacity]!;
  }

  add(batch: LiveNewsBody['batches'][number]): void {
    const columns = batch.columns.map((column) => Float64Array.from(column));
    for (const [row, timeUs] of batch.timeUs.entries()) this.grid.push(timeUs, columns, row);
    this.rows += batch.timeUs.length;
    this.leftOut += batch.leftOut;
    this.lastRowUs = batch.timeUs.at(-1) ?? this.lastRowUs;
    for (const downUs of batch.downsUs) this.judge(downUs + this.shiftUs);
  }

  /** The place in the ring of the first sample from a moment on; `count` where there is none. */
  firstFrom(fromUs: number): number {
    let [low, high] = [Math.max(0, this.count - this.capacity), this.count];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.timeUs[middle % this.capacity]! < fromUs) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  private begin(timeUs: number): void {
    if (this.count > 0 && timeUs + this.shiftUs <= this.lastUs) this.shiftUs = this.lastUs + ANEW_US - timeUs;
    this.begins = true;
    this.restS = 0;
    this.a.reset();
    this.b.reset();
  }

  private sample(timeUs: number, values: Float64Array): void {
    const { a, b } = this;
    const [gx, gy, gz, ax, ay, az] = values as unknown as [number, number, number, number, number, number];
    a.step(gx, gy, gz, ax, ay, az, false);
    b.step(gx, gy, gz, ax, ay, az, false);
    const at = this.count % this.capacity;
    this.timeUs[at] = timeUs + this.shiftUs;
    this.speedDps[at] = a.swingSpeedDps;
    this.thrustG[at] = a.thrustG;
    this.marks[at] =
      (a.isGuardClosed ? CLOSED_A : 0) |
      (b.isGuardClosed ? CLOSED_B : 0) |
      (a.deflects ? FIRES_A : 0) |
      (b.deflects ? FIRES_B : 0) |
      (this.begins ? BEGINS : 0);
    if (a.deflects) ++this.firesA;
    if (b.deflects) ++this.firesB;
    this.begins = false;
    this.rest();
    this.longestRestS = Math.max(this.longestRestS, this.restS);
    ++this.count;
  }

  /** Where it is found to be still, it has been so for a while. */
  private rest(): void {
    const before = this.restS;
    if (!this.a.isStill) this.restS = 0;
    else this.restS = before === 0 ? REST_MS / 1000 : before + 1 / this.rateHz;
  }

  /** A press meets the guard as it is at the sample at or before it. */
  private judge(timeUs: number): void {
    const at = this.firstFrom(timeUs + 1) - 1;
    if (at < Math.max(0, this.count - this.capacity)) return;
    const marks = this.marks[at % this.capacity]!;
    this.presses.push({
      timeUs,
      isRefusedByA: this.decideAtDown.a ? (marks & CLOSED_A) !== 0 : null,
      isRefusedByB: this.decideAtDown.b ? (marks & CLOSED_B) !== 0 : null,
    });
    if (this.presses.length > FATES_KEPT) this.presses.shift();
  }
}
