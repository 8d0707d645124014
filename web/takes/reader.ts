import type { MotionLog, UniformLog } from '../../server/engine/base/log.ts';
import { Scratch } from '../../server/engine/base/scratch.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import type { GestureTake } from '../../server/engine/choose/gestures/take.ts';
import type { ChoiceTake } from '../../server/engine/choose/takeSweep.ts';
import type { SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import {
  computeMotion,
  computeRateMotion,
  type Motion,
  type RateMotion,
} from '../../server/engine/motion/motion.ts';
import {
  computeSignals,
  computeSpeedSignals,
  type SpeedSignals,
} from '../../server/engine/motion/signals.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import type { TakeInput } from '../sweep/jobs.ts';
import { ByteCache } from './byteCache.ts';

export interface ReadTake extends ChoiceTake {
  readonly motion: RateMotion;
}

/** A take's columns, packed until they are looked at; with the bytes that they are read from. */
export interface Packed {
  /** Whether they are read from just this, see `columnsText`. */
  isOf(columns: string): Promise<boolean>;
  unpack(scratch: Scratch): { log: MotionLog; saturated: Uint8Array; bytes?: ArrayBufferLike };
}
/** The columns as the server has them by then. */
export type ReadColumns = (id: string) => Promise<Packed>;

/** How a take is read: which comes next, if that is known, and whether this one is soon done with. */
interface Next {
  readonly nextId?: string | undefined;
  readonly isPassing?: boolean;
}

/** A take's rows as its columns hold them, and on its grid. */
interface RawLog {
  readonly raw: MotionLog;
  readonly saturated: Uint8Array;
  readonly uniform: UniformLog;
  readonly bytes: ArrayBufferLike | null;
}

/** A take on its grid, as no calibration has touched it. */
interface ReadLog {
  readonly uniform: UniformLog;
  /** That it was read from; null where it was kept. */
  readonly bytes: ArrayBufferLike | null;
  readonly isOnGrid: boolean;
}

type Read = Pick<TakeInput, 'id' | 'columns'>;
type Calibrated = Read & Pick<TakeInput, 'calibration'>;

/** Logs, motions and signals that stay read. Takes beyond that are read again when they are needed. */
const KEPT_BYTES = 64e6;
/** In work over many takes the motion of a longer one is not kept: the copy costs a good part of computing it again. */
const SHORT_SAMPLES = 60_000;

/** Ten minutes at 1 kHz: what is allocated for such a take is a hundred megabytes and more, and nothing of it is kept twice. */
export const LONG_SAMPLES = 600_000;

/** Reads takes, and keeps what it computed of those read last, so that a second look at a few takes reads nothing. */
export class TakeReader {
  private readonly readColumns: ReadColumns;
  private readonly kept = new ByteCache<UniformLog | RateMotion | SpeedSignals>(KEPT_BYTES);
  /** Of the longest take that was read. */
  mostSamples = 0;
  private soonId: string | null = null;
  /** Columns on their way. */
  private ahead: { readonly id: string; readonly columns: Promise<Packed> } | null = null;
  /** Columns of a take that is unpacked and put on its grid: reused for the next one. */
  private readonly scratch = new Scratch();

  constructor(readColumns: ReadColumns) {
    this.readColumns = readColumns;
  }

  /** @param nextId  the take that is read next: its columns come in while this one is worked on. */
  async read(input: TakeInput, smoothing: SmoothingSettings, nextId?: string): Promise<ReadTake> {
    const { id, title, performer, presses, deflectionPresses, labels, unfit } = input;
    const motion = await this.rateMotion(input, { nextId });
    const signals = { ...this.speedSignals(input, motion, smoothing), deflectionPresses };
    const named = { id, title, performer, unfit, presses, labels };
    return { ...named, motion, signals, truth: findTruth(motion, labels) };
  }

  /** The same with the whole motion, which takes five times as long: for what rests on force or on the twist. */
  async readWhole(
    input: TakeInput,
    candidate: Pick<Candidate, 'smoothing' | 'impact' | 'twist'>,
    nextId?: string,
  ): Promise<GestureTake> {
    const {
      id,
      title,
      performer,
      calibration,
      allPresses: presses,
      deflectionPresses,
      labels,
      unfit,
    } = input;
    const motion = await this.wholeMotion(input, { nextId });
    const signals = computeSignals(motion, candidate, presses, deflectionPresses);
    const truth = findTruth(motion, labels);
    const { leverArmM } = calibration;
    return { id, title, performer, motion, signals, leverArmM, presses, labels, truth, unfit };
  }

  /**
   * @param next.isPassing  the take is one of many, and looked at once: a long one's motion is overwritten by that of the
   *   next take.
   */
  async rateMotion(take: Calibrated, next: Next = {}): Promise<RateMotion> {
    return (
      this.keptOf<Motion>('motion', take) ??
      this.keptOf<RateMotion>('rates', take) ??
      this.compute('rates', computeRateMotion, take, next)
    );
  }

  async wholeMotion(take: Calibrated, next: Next = {}): Promise<Motion> {
    return this.keptOf<Motion>('motion', take) ?? this.compute('motion', computeMotion, take, next);
  }

  /** Without presses of a button. @param motion  the take's. Only signals of one that is kept are kept: they share its arrays. */
  speedSignals(take: Calibrated, motion: RateMotion, smoothing: SmoothingSettings): SpeedSignals {
    const what = `speed ${JSON.stringify(smoothing)}`;
    const kept = this.keptOf<SpeedSignals>(what, take);
    if (kept?.timeUs === motion.timeUs) return kept;
    const signals = computeSpeedSignals(motion, smoothing);
    const isKept = [this.keptOf('motion', take), this.keptOf('rates', take)].includes(motion);
    if (isKept) this.kept.set(keyOf(what, take), signals);
    return signals;
  }

  async log(take: Read): Promise<ReadLog> {
    const kept = this.keptLog(take);
    if (kept) return { uniform: kept, bytes: null, isOnGrid: false };
    const { raw, uniform, bytes } = await this.readRaw(take);
    if (uniform.timeUs.length < LONG_SAMPLES) this.kept.set(keyOf('log', take), uniform);
    return { uniform, bytes, isOnGrid: uniform.timeUs === raw.timeUs };
  }

  keptLog(take: Read): UniformLog | undefined {
    return this.kept.get(keyOf('log', take)) as UniformLog | undefined;
  }

  /** A take as it was before it was put on its grid, and on it: read anew, for nothing of that is kept. */
  async readRaw(take: Read): Promise<RawLog> {
    const packed = await this.columns(take, undefined);
    const { log, saturated, bytes = null } = packed.unpack(new Scratch());
    this.note(log);
    return { raw: log, saturated, uniform: buildTimeBase(log, saturated).uniform, bytes };
  }

  /** Says which take is likely to be read next, where whoever reads this one does not know. */
  soon(id: string): void {
    this.soonId = id;
  }

  private note({ timeUs }: MotionLog): void {
    this.mostSamples = Math.max(this.mostSamples, timeUs.length);
  }

  private keptOf<Value>(what: string, take: Calibrated): Value | undefined {
    return this.kept.get(keyOf(what, take)) as Value | undefined;
  }

  private async compute<M extends RateMotion>(
    what: 'rates' | 'motion',
    how: (log: UniformLog, calibration: Calibration) => M,
    take: Calibrated,
    { nextId, isPassing = false }: Next,
  ): Promise<M> {
    const read = this.keptLog(take);
    const columns = read ? null : await this.columns(take, nextId);
    // From here on without a pause, in which another take could be unpacked.
    const { scratch } = this;
    const packed = columns?.unpack(scratch);
    if (packed) this.note(packed.log);
    const log = packed ? buildTimeBase(packed.log, packed.saturated, scratch).uniform : read!;
    const computed = how(log, take.calibration);
    if (isPassing && computed.timeUs.length > SHORT_SAMPLES) return computed;
    const own = (column: unknown) => (column instanceof Float64Array ? scratch.own(column) : column);
    const motion = Object.fromEntries(
      Object.entries(computed).map(([name, column]) => [name, own(column)]),
    ) as unknown as M;
    this.kept.set(keyOf(what, take), motion);
    return motion;
  }

  /** @throws Error  if the server has columns of that take by now which are read from something else. */
  private async columns(take: Read, nextId: string | undefined): Promise<Packed> {
    const { id } = take;
    const { ahead } = this;
    this.ahead = null;
    const sent = ahead?.id === id ? await ahead.columns : null;
    // What was sent for ahead may have been read anew since.
    const columns = sent && (await sent.isOf(take.columns)) ? sent : await this.readColumns(id);
    const next = nextId ?? this.soonId;
    this.soonId = null;
    if (next !== null && next !== id && !this.kept.keys().some((key) => key.split(' ')[1] === next)) {
      this.ahead = { id: next, columns: this.readColumns(next) };
      // Whoever comes to read it is told why it failed.
      this.ahead.columns.catch(() => {});
    }
    if (columns !== sent && !(await columns.isOf(take.columns)))
      throw new Error('The log of this take has been read anew, in another way. Reload the page.');
    return columns;
  }
}

function keyOf(what: string, { id, columns, calibration }: Read & Partial<Calibrated>): string {
  return `${what} ${id} ${columns} ${JSON.stringify(calibration)}`;
}
