import type { Calibration } from '../../server/engine/calibration.ts';
import type { SmoothingSettings } from '../../server/engine/candidate.ts';
import { computeRateMotion, speedSignals } from '../../server/engine/choose/rateMotion.ts';
import type { ChoiceTake } from '../../server/engine/choose/takeSweep.ts';
import type { MotionLog } from '../../server/engine/log.ts';
import type { Motion } from '../../server/engine/motion/motion.ts';
import { Scratch } from '../../server/engine/scratch.ts';
import { buildTimeBase } from '../../server/engine/timeBase.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import type { TakeInput } from './jobs.ts';

export interface ReadTake extends ChoiceTake {
  readonly motion: Motion;
}

/** A take's columns, packed until they are looked at. */
export type Packed = (scratch: Scratch) => { log: MotionLog; saturated: Uint8Array };
export type ReadColumns = (id: string) => Promise<Packed>;

/** Motions that stay read hold no more samples than this, together: some 30 MB. More takes are read again when needed. */
const KEPT_SAMPLES = 600_000;

/** Reads takes and keeps the motion of those read last, so that a second pass over a few takes reads nothing. */
export class TakeReader {
  private readonly readColumns: ReadColumns;
  private readonly motions = new Map<string, { key: string; motion: Motion }>();
  /** Columns on their way. */
  private ahead: { readonly id: string; readonly columns: Promise<Packed> } | null = null;
  /** Of a take that is unpacked and put on its grid: used again for the next one. */
  private readonly scratch = new Scratch();

  constructor(readColumns: ReadColumns) {
    this.readColumns = readColumns;
  }

  /** @param nextId  the take that is read next: its columns come in while this one is worked on. */
  async read(input: TakeInput, smoothing: SmoothingSettings, nextId?: string): Promise<ReadTake> {
    const { id, title, performer, presses, labels } = input;
    const motion = await this.motion(input, nextId);
    const signals = speedSignals(motion, smoothing);
    return { id, title, performer, presses, labels, motion, signals, truth: findTruth(motion, labels) };
  }

  private async motion({ id, calibration }: TakeInput, nextId: string | undefined): Promise<Motion> {
    const key = JSON.stringify(calibration);
    const kept = this.motions.get(id);
    this.motions.delete(id);
    if (kept?.key === key) {
      this.motions.set(id, kept);
      return kept.motion;
    }
    const unpack = await this.columns(id, nextId);
    const motion = this.ownMotion(unpack, calibration);
    this.motions.set(id, { key, motion });
    this.forgetOldest();
    return motion;
  }

  private ownMotion(unpack: Packed, calibration: Calibration): Motion {
    const { scratch } = this;
    const { log, saturated } = unpack(scratch);
    const motion = computeRateMotion(buildTimeBase(log, saturated, scratch).uniform, calibration);
    const { timeUs, gyroXDps, gyroYDps, gyroZDps } = motion;
    return {
      ...motion,
      timeUs: scratch.own(timeUs),
      gyroXDps: scratch.own(gyroXDps),
      gyroYDps: scratch.own(gyroYDps),
      gyroZDps: scratch.own(gyroZDps),
    };
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
    for (const { motion } of this.motions.values()) samples += motion.timeUs.length;
    for (const [id, { motion }] of this.motions) {
      if (samples <= KEPT_SAMPLES || this.motions.size === 1) return;
      this.motions.delete(id);
      samples -= motion.timeUs.length;
    }
  }
}
