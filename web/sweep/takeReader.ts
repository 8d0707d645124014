import type { SmoothingSettings } from '../../server/engine/candidate.ts';
import { computeRateMotion, speedSignals } from '../../server/engine/choose/rateMotion.ts';
import type { ChoiceTake } from '../../server/engine/choose/takeSweep.ts';
import type { MotionLog } from '../../server/engine/log.ts';
import type { Motion } from '../../server/engine/motion/motion.ts';
import { buildTimeBase } from '../../server/engine/timeBase.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import type { TakeInput } from './jobs.ts';

export interface ReadTake extends ChoiceTake {
  readonly motion: Motion;
}

export type ReadColumns = (id: string) => Promise<{ log: MotionLog; saturated: Uint8Array }>;

/** Motions that stay read hold no more samples than this, together: some 200 MB. */
const KEPT_SAMPLES = 2_000_000;

/** Reads takes and keeps the motion of those read last, so that a second pass over a few takes reads nothing. */
export class TakeReader {
  private readonly readColumns: ReadColumns;
  private readonly motions = new Map<string, { key: string; motion: Motion }>();

  constructor(readColumns: ReadColumns) {
    this.readColumns = readColumns;
  }

  async read(input: TakeInput, smoothing: SmoothingSettings): Promise<ReadTake> {
    const { id, title, performer, presses, labels } = input;
    const motion = await this.motion(input);
    const signals = speedSignals(motion, smoothing);
    return { id, title, performer, presses, labels, motion, signals, truth: findTruth(motion, labels) };
  }

  private async motion({ id, calibration }: TakeInput): Promise<Motion> {
    const key = JSON.stringify(calibration);
    const kept = this.motions.get(id);
    this.motions.delete(id);
    if (kept?.key === key) {
      this.motions.set(id, kept);
      return kept.motion;
    }
    const { log, saturated } = await this.readColumns(id);
    const motion = computeRateMotion(buildTimeBase(log, saturated).uniform, calibration);
    this.motions.set(id, { key, motion });
    this.forgetOldest();
    return motion;
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
