import type { MotionLog } from '../../server/engine/base/log.ts';
import { Scratch } from '../../server/engine/base/scratch.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import type { GestureTake } from '../../server/engine/choose/gestures/take.ts';
import { computeRateMotion, speedSignals } from '../../server/engine/choose/rateMotion.ts';
import type { ChoiceTake } from '../../server/engine/choose/takeSweep.ts';
import { computeMotion, type Motion } from '../../server/engine/motion/motion.ts';
import { computeSignals } from '../../server/engine/motion/signals.ts';
import type { Candidate, SmoothingSettings } from '../../server/engine/settings/candidate.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import type { TakeInput } from './jobs.ts';

export interface ReadTake extends ChoiceTake {
  readonly motion: Motion;
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

/** Rates and true speed alone, or force, thrust and gravity as well. */
type Extent = 'rates' | 'whole';

interface KeptMotion {
  readonly calibration: string;
  readonly extent: Extent;
  readonly motion: Motion;
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
    const motion = await this.motion(input, 'rates', nextId);
    const signals = speedSignals(motion, smoothing);
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
    const motion = await this.motion(input, 'whole', nextId);
    const signals = computeSignals(motion, candidate, presses);
    const truth = findTruth(motion, labels);
    const { leverArmM } = calibration;
    return { id, title, performer, motion, signals, leverArmM, presses, labels, truth, unfit };
  }

  private async motion(
    { id, calibration: own }: TakeInput,
    extent: Extent,
    nextId: string | undefined,
  ): Promise<Motion> {
    const calibration = JSON.stringify(own);
    const kept = this.motions.get(id);
    this.motions.delete(id);
    if (kept?.calibration === calibration && (kept.extent === extent || kept.extent === 'whole')) {
      this.motions.set(id, kept);
      return kept.motion;
    }
    const unpack = await this.columns(id, nextId);
    const motion = this.ownMotion(unpack, own, extent);
    this.motions.set(id, { calibration, extent, motion });
    this.forgetOldest();
    return motion;
  }

  private ownMotion(unpack: Packed, calibration: Calibration, extent: Extent): Motion {
    const { scratch } = this;
    const { log, saturated } = unpack(scratch);
    const compute = extent === 'whole' ? computeMotion : computeRateMotion;
    const motion = compute(buildTimeBase(log, saturated, scratch).uniform, calibration);
    const { timeUs, gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = motion;
    return {
      ...motion,
      timeUs: scratch.own(timeUs),
      gyroXDps: scratch.own(gyroXDps),
      gyroYDps: scratch.own(gyroYDps),
      gyroZDps: scratch.own(gyroZDps),
      accelXG: scratch.own(accelXG),
      accelYG: scratch.own(accelYG),
      accelZG: scratch.own(accelZG),
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
    const sizeOf = ({ motion, extent }: KeptMotion) =>
      motion.timeUs.length * (extent === 'whole' ? WHOLE_SAMPLES : 1);
    for (const kept of this.motions.values()) samples += sizeOf(kept);
    for (const [id, kept] of this.motions) {
      if (samples <= KEPT_SAMPLES || this.motions.size === 1) return;
      this.motions.delete(id);
      samples -= sizeOf(kept);
    }
  }
}
