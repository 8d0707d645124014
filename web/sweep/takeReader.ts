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
import { computeSignals, computeSpeedSignals } from '../../server/engine/motion/signals.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import type { TakeInput } from './jobs.ts';

export interface ReadTake extends ChoiceTake {
  readonly motion: RateMotion;
}

/** A take's columns, packed until they are looked at. */
export type Packed = (scratch: Scratch) => { log: MotionLog; saturated: Uint8Array };
export type ReadColumns = (id: string) => Promise<Packed>;

/**
 * Motions that stay read hold no more samples than this, together: some 30 MB. More takes are read again when needed.
 * A sample of a whole motion takes as much room as three.
 */
const KEPT_SAMPLES = 600_000;
const WHOLE_SAMPLES = 3;

interface KeptMotion {
  readonly calibration: string;
  readonly motion: RateMotion | Motion;
}

/** Reads takes and keeps the motion of those read last, so that a second pass over a few takes reads nothing. */
export class TakeReader {
  private readonly readColumns: ReadColumns;
  private readonly motions = new Map<string, KeptMotion>();
  /** Columns on their way. */
  private ahead: { readonly id: string; readonly columns: Promise<Packed> } | null = null;
  /** Of a take that is unpacked and put on its grid: used again for the next one. */
  private readonly scratch = new Scratch();

  constructor(readColumns: ReadColumns) {
    this.readColumns = readColumns;
  }

  /** @param nextId  the take that is read next: its columns come in while this one is worked on. */
  async read(input: TakeInput, smoothing: SmoothingSettings, nextId?: string): Promise<ReadTake> {
    const { id, title, performer, presses, labels, unfit } = input;
    const motion = this.kept(input) ?? (await this.compute(computeRateMotion, input, nextId));
    const signals = computeSpeedSignals(motion, smoothing);
    const named = { id, title, performer, unfit, presses, labels };
    return { ...named, motion, signals, truth: findTruth(motion, labels) };
  }

  /** The same with the whole motion, which takes five times as long: for what rests on force or on the twist. */
  async readWhole(
    input: TakeInput,
    candidate: Pick<Candidate, 'smoothing' | 'impact' | 'twist'>,
    nextId?: string,
  ): Promise<GestureTake> {
    const { id, title, performer, calibration, allPresses: presses, labels, unfit } = input;
    const motion = await this.wholeMotion(input, nextId);
    const signals = computeSignals(motion, candidate, presses);
    const truth = findTruth(motion, labels);
    const { leverArmM } = calibration;
    return { id, title, performer, motion, signals, leverArmM, presses, labels, truth, unfit };
  }

  private async wholeMotion(input: TakeInput, nextId: string | undefined): Promise<Motion> {
    const kept = this.kept(input);
    return kept && isWhole(kept) ? kept : await this.compute(computeMotion, input, nextId);
  }

  private kept({ id, calibration }: TakeInput): RateMotion | undefined {
    const kept = this.motions.get(id);
    this.motions.delete(id);
    if (kept?.calibration !== JSON.stringify(calibration)) return undefined;
    this.motions.set(id, kept);
    return kept.motion;
  }

  private async compute<M extends RateMotion>(
    how: (log: UniformLog, calibration: Calibration) => M,
    { id, calibration }: TakeInput,
    nextId: string | undefined,
  ): Promise<M> {
    const unpack = await this.columns(id, nextId);
    const { scratch } = this;
    const { log, saturated } = unpack(scratch);
    const computed = how(buildTimeBase(log, saturated, scratch).uniform, calibration);
    const own = (column: unknown) => (column instanceof Float64Array ? scratch.own(column) : column);
    const motion = Object.fromEntries(
      Object.entries(computed).map(([name, column]) => [name, own(column)]),
    ) as unknown as M;
    this.motions.delete(id);
    this.motions.set(id, { calibration: JSON.stringify(calibration), motion });
    this.forgetOldest();
    return motion;
  }

  private async columns(id: string, nextId: string | undefined): Promise<Packed> {
    const { ahead } = this;
    this.ahead = null;
    const columns = await (ahead?.id === id ? ahead.columns : this.readColumns(id));
    if (nextId !== undefined && !this.motions.has(nextId)) {
      this.ahead = { id: nextId, columns: this.readColumns(nextId) };
      // Whoever comes to read it is told why it failed.
      this.ahead.columns.catch(() => {});
    }
    return columns;
  }

  private forgetOldest(): void {
    let samples = 0;
    const sizeOf = ({ motion }: KeptMotion) => motion.timeUs.length * (isWhole(motion) ? WHOLE_SAMPLES : 1);
    for (const kept of this.motions.values()) samples += sizeOf(kept);
    for (const [id, kept] of this.motions) {
      if (samples <= KEPT_SAMPLES || this.motions.size === 1) return;
      this.motions.delete(id);
      samples -= sizeOf(kept);
    }
  }
}

function isWhole(motion: RateMotion | Motion): motion is Motion {
  return 'thrustUnsmoothedG' in motion;
}
