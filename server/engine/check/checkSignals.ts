import { IDENTITY_MOUNT } from '../base/mount.ts';
import { Scratch } from '../base/scratch.ts';
import { estimateBias, removeBias } from '../calibrate/bias.ts';
import type { GravityTest } from '../calibrate/gravityTest.ts';
import { fitLeverArm, type LeverArmFit } from '../calibrate/leverArm.ts';
import { proposeSwings } from '../truth/swings.ts';
import { measureRestNoise, type RestNoise, wanderDeg } from './allan.ts';
import { type ChannelsLine, checkChannels } from './channels.ts';
import { markClipped, soundParts } from './clippedParts.ts';
import { findClipping } from './clipping.ts';
import { type ClippingLine, checkClipping } from './clippingLine.ts';
import { type ClockLine, checkClock, hasStamps, measureSteps, type StepHistogram } from './clock.ts';
import { type FoundCalibration, findCalibration } from './findCalibration.ts';
import { checkGaps, type GapsLine } from './gaps.ts';
import { checkGravity, type GravityLine } from './gravity.ts';
import { measureGravity } from './gravityData.ts';
import type { CheckInput } from './input.ts';
import { axisShares, checkLever, type LeverLine } from './lever.ts';
import { checkHits, checkRate, type HitsLine, type RateLine } from './rate.ts';
import { checkRepeats, measureRepeats, type RepeatsLine } from './repeats.ts';
import {
  type BiasLine,
  checkBias,
  checkNoise,
  checkRestForce,
  isGravityMissing,
  measureRest,
  type NoiseLine,
  type RestForceLine,
} from './rest.ts';
import { checkRows, type RowsLine } from './rows.ts';
import { checkSpectrum, measureSpectrum, type SpectrumData, type SpectrumLine } from './spectrum.ts';
import { checkSpikes, type SpikesLine } from './spikes.ts';
import { judgeStatedRate } from './statedRate.ts';
import { checkSwings, type SwingSummary, type SwingsLine, summariseSwings } from './swings.ts';

export type CheckVerdict = 'fit' | 'care' | 'unfit';

export type CheckLine =
  | RateLine
  | ClockLine
  | GapsLine
  | RowsLine
  | RepeatsLine
  | ChannelsLine
  | ClippingLine
  | SpikesLine
  | SwingsLine
  | BiasLine
  | NoiseLine
  | RestForceLine
  | GravityLine
  | LeverLine
  | SpectrumLine
  | HitsLine;

export type CheckId = CheckLine['id'];

/** The data of the plots. */
interface CheckData {
  readonly steps: StepHistogram;
  readonly noise: RestNoise | null;
  readonly spectrum: SpectrumData | null;
  readonly swings: SwingSummary;
  readonly gravity: GravityTest;
  readonly lever: LeverArmFit | null;
  readonly found: FoundCalibration;
}

export interface SignalCheck {
  readonly verdict: CheckVerdict;
  readonly lines: readonly CheckLine[];
  readonly data: CheckData;
}

/**
 * Whether a take is fit to tune on: one line a question.
 * @param tell  receives the share of the work that is done, 0 to 1, now and then
 * @param scratch  for columns of its own; rates of the motion that lie there are overwritten once they are not needed
 */
export function checkSignals(
  input: CheckInput,
  tell: (part: number) => void = () => {},
  scratch: Scratch = new Scratch(),
): SignalCheck {
  const { raw, uniform, facts, calibration } = input;
  const clipping = findClipping(raw);
  // A clipped accelerometer does not affect speeds.
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
  const unbiased = removeBias(uniform, estimateBias(uniform), scratch);
  const lever = fitLeverArm(soundParts(unbiased, marked), scratch);
  tell(0.65);
  const calibrated = findCalibration(rest, lever, calibration ?? { mount: input.mount ?? IDENTITY_MOUNT });
  const gravity = measureGravity(uniform, marked, calibrated.scale?.accelScale ?? 1, scratch);
  tell(0.8);
  const statedRate = hasStamps(facts) ? null : judgeStatedRate(raw, uniform.rateHz);
  const lines: CheckLine[] = [
    checkRate(uniform.rateHz),
    checkClock(steps, facts, uniform.segments.length - 1, statedRate),
    checkGaps(uniform),
    checkRows(facts),
    checkRepeats(measureRepeats(raw), uniform.rateHz),
    checkChannels(raw, uniform),
    checkClipping(clipping, countMarked(input.saturated), raw, found),
    checkSpikes(uniform),
    checkSwings(swings),
    checkBias(rest),
    checkNoise(rest, wanderDeg(noise)),
    checkRestForce(rest, calibration?.accelScale ?? 1, calibrated.scale?.doubt ?? null),
    checkGravity(gravity, isGravityMissing(rest)),
    checkLever(lever, calibration, swings, axisShares(uniform), calibration?.mount ?? input.mount ?? null),
    checkSpectrum(spectrum),
    checkHits(uniform.rateHz),
  ];
  return {
    verdict: verdictOf(lines),
    lines,
    data: { steps, noise, spectrum, swings, gravity, lever, found: calibrated },
  };
}

function countMarked(saturated: Uint8Array): number {
  let count = 0;
  for (const mark of saturated) count += mark;
  return count;
}

/** One failed line makes a take unfit; a caution leaves it fit but for what that line is about. */
function verdictOf(lines: readonly CheckLine[]): CheckVerdict {
  if (lines.some(({ state }) => state === 'fail')) return 'unfit';
  return lines.some(({ state }) => state === 'caution') ? 'care' : 'fit';
}

/** Whether a take only assumes which way the blade points: nobody has said so, and its swings do not prove it. */
export function assumesMount({ lines }: Pick<SignalCheck, 'lines'>): boolean {
  return lines.some((line) => line.id === 'lever' && line.isMountAssumed);
}
