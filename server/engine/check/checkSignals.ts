import { IDENTITY_MOUNT } from '../base/mount.ts';
import { estimateBias, removeBias } from '../calibrate/bias.ts';
import type { GravityTest } from '../calibrate/gravityTest.ts';
import { fitLeverArm, type LeverArmFit } from '../calibrate/leverArm.ts';
import { proposeSwings } from '../truth/swings.ts';
import { measureRestNoise, type RestNoise, wanderDeg } from './allan.ts';
import { checkChannels } from './channels.ts';
import { markClipped, soundParts } from './clippedParts.ts';
import { findClipping } from './clipping.ts';
import { checkClipping } from './clippingLine.ts';
import { checkClock, measureSteps, type StepHistogram } from './clock.ts';
import { type FoundCalibration, findCalibration } from './findCalibration.ts';
import { checkGaps } from './gaps.ts';
import { checkGravity } from './gravity.ts';
import { measureGravity } from './gravityData.ts';
import type { CheckInput } from './input.ts';
import { checkLever } from './lever.ts';
import { type CheckLine, distrustText } from './line.ts';
import { checkHits, checkRate } from './rate.ts';
import { checkRepeats, measureRepeats } from './repeats.ts';
import { checkBias, checkNoise, checkRestForce, isGravityMissing, measureRest } from './rest.ts';
import { checkRows } from './rows.ts';
import { checkSpectrum, measureSpectrum, type SpectrumData } from './spectrum.ts';
import { checkSpikes } from './spikes.ts';
import { checkSwings, type SwingSummary, summariseSwings } from './swings.ts';

export type Verdict = 'fit' | 'care' | 'unfit';

/** What the plots show. */
export interface CheckData {
  readonly steps: StepHistogram;
  readonly noise: RestNoise | null;
  readonly spectrum: SpectrumData | null;
  readonly swings: SwingSummary;
  readonly gravity: GravityTest;
  readonly lever: LeverArmFit | null;
  readonly found: FoundCalibration;
}

export interface SignalCheck {
  readonly verdict: Verdict;
  /** The verdict in a sentence, with what to distrust. */
  readonly headline: string;
  /** What of the take not to trust, each once. */
  readonly distrust: readonly string[];
  readonly lines: readonly CheckLine[];
  readonly data: CheckData;
}

/**
 * Whether a take is fit to tune on: one line a question, each with figures and what to do.
 * @param tell  is told, now and then, what part of the work is done: 0 to 1
 */
export function checkSignals(input: CheckInput, tell: (part: number) => void = () => {}): SignalCheck {
  const { raw, uniform, facts, calibration } = input;
  const clipping = findClipping(raw);
  // A clipped accelerometer leaves speeds as they are.
  const rateMarks = markClipped(
    uniform.timeUs,
    raw,
    clipping.filter(({ kind }) => kind === 'gyro'),
  );
  const motion = { ...input.motion, saturated: rateMarks };
  const found = proposeSwings(motion);
  const swings = summariseSwings(found);
  const steps = measureSteps(raw.timeUs, uniform);
  tell(0.2);
  const rest = measureRest(uniform);
  const noise = measureRestNoise(uniform, rest);
  const spectrum = measureSpectrum(motion);
  tell(0.5);
  const marked = markClipped(uniform.timeUs, raw, clipping).map((mark, i) => mark | uniform.saturated[i]!);
  const unbiased = soundParts(removeBias(uniform, estimateBias(uniform)), marked);
  const lever = fitLeverArm(unbiased);
  tell(0.65);
  const calibrated = findCalibration(rest, lever, calibration ?? { mount: input.mount ?? IDENTITY_MOUNT });
  const gravity = measureGravity(uniform, marked, calibrated.scale?.accelScale ?? 1);
  tell(0.8);
  const lines = [
    checkRate(uniform.rateHz),
    checkClock(steps, facts, uniform.segments.length - 1),
    checkGaps(uniform),
    checkRows(facts),
    checkRepeats(measureRepeats(raw), uniform.rateHz),
    checkChannels(raw, uniform),
    checkClipping(clipping, countMarked(input.saturated), raw, found),
    checkSpikes(uniform),
    checkSwings(swings),
    checkBias(rest),
    checkNoise(rest, wanderDeg(noise)),
    checkRestForce(rest, calibration?.accelScale ?? 1),
    checkGravity(gravity, isGravityMissing(rest)),
    checkLever(lever, calibration, swings, calibration?.mount ?? input.mount ?? null),
    checkSpectrum(spectrum),
    checkHits(uniform.rateHz),
  ];
  return {
    ...judge(lines),
    lines,
    data: { steps, noise, spectrum, swings, gravity, lever, found: calibrated },
  };
}

function countMarked(saturated: Uint8Array): number {
  let count = 0;
  for (const mark of saturated) count += mark;
  return count;
}

/** One failed line makes a take unfit; a caution names what to distrust and leaves the rest. */
function judge(lines: readonly CheckLine[]): Pick<SignalCheck, 'verdict' | 'headline' | 'distrust'> {
  const failed = lines.filter(({ state }) => state === 'fail');
  const distrust = [...new Set(lines.flatMap((line) => line.distrust ?? []))];
  if (failed.length > 0) {
    const why = failed.map(({ name }) => name.toLowerCase()).join(', ');
    return { verdict: 'unfit', headline: `Signals not fit to tune on: ${why}.`, distrust };
  }
  if (distrust.length === 0) return { verdict: 'fit', headline: 'Signals fit.', distrust };
  const headline = `Signals fit, with care. ${distrustText(distrust)}`;
  return { verdict: 'care', headline, distrust };
}
