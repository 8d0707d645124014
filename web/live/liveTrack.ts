import type { Mount } from '../../server/engine/base/mount.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { REST_MS } from '../../server/engine/motion/stillMask.ts';
import { LiveGrid } from '../../server/engine/prop/liveGrid.ts';
import { PropDetectors } from '../../server/engine/prop/propDetectors.ts';
import type { LightState } from '../../server/engine/replay/light.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { LiveNewsBody } from '../../server/http/schemas.ts';

/** So much is shown. */
export const SHOWN_S = 20;
/** Of a device that begins its clock anew: how far behind the last row the next one is shown. */
const ANEW_US = 100_000;
/** More are not kept, however fast a log is. */
const SAMPLES_AT_MOST = 400_000;
const FATES_KEPT = 200;

/** What a candidate makes of a press: 'open' while it is not decided, and where it is no press of its own but a bounce. */
export type LiveFate = 'acts' | 'refused' | 'open';

/** The button going down, and what becomes of it. */
export interface LivePress {
  readonly timeUs: number;
  readonly fates: { a: LiveFate; b: LiveFate };
}

/** What comes with a row beside its motion. */
interface Held {
  power: boolean;
  deflection: boolean;
}

type Batch = LiveNewsBody['batches'][number];
type Slot = 'a' | 'b';
const SLOTS = ['a', 'b'] as const;

/** Bits of `marks`. */
export const CLOSED_A = 1;
export const CLOSED_B = 2;
export const FIRES_A = 4;
export const FIRES_B = 8;
/** Nothing came just before it. */
export const BEGINS = 16;

/**
 * The last seconds of a recording, decided a sample at a time by the code that the prop's reference is made of: guard,
 * deflection, presses by each candidate's own rule, and a light that each press turns over. It finds the gyro's bias as a prop does, at each rest, where a take is given the bias of its whole rest: near a threshold the two may
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
  /** The blade's attitude, four numbers a sample. */
  readonly q: Float32Array;
  readonly presses: LivePress[] = [];
  count = 0;
  rows = 0;
  leftOut = 0;
  /** Deflections so far; null where they wait for a button and the log has none. */
  readonly fires: Record<Slot, number | null> = { a: 0, b: 0 };
  /** Lit until a press gets through, which turns it over; not known once one could not be judged. */
  readonly light: Record<Slot, LightState> = { a: 'lit', b: 'lit' };
  /** How long it has lain still up to now. */
  restS = 0;
  /** The longest of its rests so far. */
  longestRestS = 0;
  /** When what came last without a gap began, on the axis that is shown. */
  beganUs = 0;
  /** The last row's stamp, as the device counts. */
  lastRowUs = Number.NaN;
  private readonly grid: LiveGrid;
  private readonly props: Readonly<Record<Slot, PropDetectors>>;
  private readonly candidates: Readonly<Record<Slot, Candidate>>;
  /** The press that a candidate's button follows and has not decided. */
  private readonly underWay: Record<Slot, LivePress | null> = { a: null, b: null };
  private tellsReleases = true;
  /** As of the row before, and of the row from its own time on. */
  private before: Held = { power: false, deflection: false };
  private next: Held = { power: false, deflection: false };
  private nextUs = Number.NEGATIVE_INFINITY;
  private wasDown = false;
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
    this.q = new Float32Array(4 * this.capacity);
    this.candidates = { a, b };
    const calibration = { ...DEFAULT_CALIBRATION, mount };
    this.props = {
      a: new PropDetectors(a, calibration, rateHz, true),
      b: new PropDetectors(b, calibration, rateHz, true),
    };
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

  add(batch: Batch): void {
    const columns = batch.columns.map((column) => Float64Array.from(column));
    this.tellsReleases = batch.tellsReleases;
    for (const slot of SLOTS) {
      const isKnown = this.candidates[slot].deflection.switchedOn === 'always' || batch.deflection !== null;
      this.fires[slot] = isKnown ? (this.fires[slot] ?? 0) : null;
    }
    for (const [row, timeUs] of batch.timeUs.entries()) {
      this.before = this.next;
      this.next = { power: batch.power[row] === 1, deflection: batch.deflection?.[row] === 1 };
      this.nextUs = timeUs;
      this.grid.push(timeUs, columns, row);
    }
    this.rows += batch.timeUs.length;
    this.leftOut += batch.leftOut;
    this.lastRowUs = batch.timeUs.at(-1) ?? this.lastRowUs;
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
    this.beganUs = timeUs + this.shiftUs;
    this.restS = 0;
    for (const slot of SLOTS) {
      this.props[slot].reset();
      if (this.underWay[slot]) this.light[slot] = 'unknown';
      this.underWay[slot] = null;
    }
  }

  private sample(timeUs: number, values: Float64Array): void {
    const { a, b } = this.props;
    const [gx, gy, gz, ax, ay, az] = values as unknown as [number, number, number, number, number, number];
    // A sample between two rows is of the time before the later one.
    const { power, deflection } = timeUs >= this.nextUs ? this.next : this.before;
    a.step(gx, gy, gz, ax, ay, az, false, power, deflection);
    b.step(gx, gy, gz, ax, ay, az, false, power, deflection);
    const at = this.count % this.capacity;
    this.timeUs[at] = timeUs + this.shiftUs;
    this.q.set(a.q, 4 * at);
    this.follow(timeUs + this.shiftUs, power);
    this.speedDps[at] = a.swingSpeedDps;
    this.thrustG[at] = a.thrustG;
    this.marks[at] =
      (a.isGuardClosed ? CLOSED_A : 0) |
      (b.isGuardClosed ? CLOSED_B : 0) |
      (a.deflects && this.fires.a !== null ? FIRES_A : 0) |
      (b.deflects && this.fires.b !== null ? FIRES_B : 0) |
      (this.begins ? BEGINS : 0);
    for (const slot of SLOTS) {
      const fires = this.fires[slot];
      if (fires !== null && this.props[slot].deflects) this.fires[slot] = fires + 1;
    }
    this.begins = false;
    this.rest();
    this.longestRestS = Math.max(this.longestRestS, this.restS);
    ++this.count;
  }

  /** Where it is found to be still, it has been so for a while. */
  private rest(): void {
    const before = this.restS;
    if (!this.props.a.isStill) this.restS = 0;
    else this.restS = before === 0 ? REST_MS / 1000 : before + 1 / this.rateHz;
  }

  /** The power button going down is a press in sight; each candidate's own rule says what becomes of it. */
  private follow(timeUs: number, isDown: boolean): void {
    if (isDown && !this.wasDown) this.presses.push({ timeUs, fates: { a: 'open', b: 'open' } });
    if (this.presses.length > FATES_KEPT) this.presses.shift();
    this.wasDown = isDown;
    for (const slot of SLOTS) {
      const { powerBegins, powerActs, powerRefused } = this.props[slot];
      if (powerBegins) this.underWay[slot] = this.presses.at(-1) ?? null;
      if (powerActs || powerRefused) this.settle(slot, powerActs);
    }
  }

  private settle(slot: Slot, acts: boolean): void {
    const press = this.underWay[slot];
    this.underWay[slot] = null;
    const { decideAt, pressLength } = this.candidates[slot].guard;
    const needsRelease = decideAt !== 'press' || pressLength !== 'any';
    if (needsRelease && !this.tellsReleases) {
      this.light[slot] = 'unknown';
      return;
    }
    if (press) press.fates[slot] = acts ? 'acts' : 'refused';
    if (acts && this.light[slot] !== 'unknown')
      this.light[slot] = this.light[slot] === 'lit' ? 'dark' : 'lit';
  }
}
