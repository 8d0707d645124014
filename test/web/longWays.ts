import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import type { MotionLog, Press } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import { GESTURE_DETECTOR_IDS, gestureDetector } from '../../server/engine/detect/detectors.ts';
import { runTwistDial } from '../../server/engine/detect/twistDial.ts';
import { biasOf, computeCandidateMotion, computeMotion } from '../../server/engine/motion/motion.ts';
import { computeSignals, type Hold, type Signals } from '../../server/engine/motion/signals.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { writeColumns } from '../../server/store/columnsFile.ts';
import { dialOf, firesOf, signalsFor, truthOf } from '../../web/state/longTake.ts';
import { LongMotion, shownOf, type ThinLog } from '../../web/takes/longMotion.ts';
import { FOLDING_STAVES, findMost } from '../../web/takes/quietSignals.ts';
import { readyFor } from '../../web/takes/readyFor.ts';
import { seededRandom } from '../seeded.ts';
import { temporaryFolder } from '../store/temporaryFolder.ts';

/** Forgets at once: whatever is asked for is made anew each time. */
const forget: Hold = (make) => make;

const MOTION = [
  'gyroXDps',
  'gyroYDps',
  'gyroZDps',
  'accelXG',
  'accelYG',
  'accelZG',
  'thrustUnsmoothedG',
  'trueSpeedDps',
  'timeUs',
] as const;
const SIGNALS = [
  'swingSpeedDps',
  'trueSpeedDps',
  'thrustG',
  'twistRateDps',
  'twistDeg',
  'swingTwistDeg',
  'impactG',
] as const;

interface LongWay {
  readonly log: MotionLog;
  readonly saturated: Uint8Array;
  readonly calibration: Calibration;
  readonly candidate: Candidate;
  readonly presses: readonly Press[];
}

const STEP_US = 10_000;

/** Swings, twists and blows by a sensor of few bits; with gaps, some lost rows, and stamps that jitter where asked. */
export function drawnLog(seed: number, jitterUs: number): MotionLog {
  const random = seededRandom(seed);
  const timeUs: number[] = [];
  const rows: number[][] = [];
  for (let i = 0, at = 0; i < 3000; ++i) {
    const roll = random();
    at += roll < 0.002 ? 60 * STEP_US : roll < 0.01 ? 2 * STEP_US : STEP_US;
    timeUs.push(at + Math.round(jitterUs * random()));
    const isAtRest = i % 900 < 200;
    const swing = isAtRest ? 0 : 500 * Math.sin(i / (9 + (seed % 5)));
    const twist = i % 500 < 40 && !isAtRest ? 400 : 0;
    const blow = i % 130 === 7 ? 9 : 0;
    const gyro = [twist, swing, swing / 3].map((dps) => Math.round((dps + random() * 3) / 0.0625) * 0.0625);
    const force = [blow, 0, 1].map((g) => Math.round((g + random() * 0.02) / 0.004) * 0.004);
    rows.push([...gyro, ...force]);
  }
  const first = timeUs[0]!;
  const column = (k: number) => Float64Array.from(rows, (row) => row[k]!);
  return {
    timeUs: Float64Array.from(timeUs, (us) => us - first),
    gyroXDps: column(0),
    gyroYDps: column(1),
    gyroZDps: column(2),
    accelXG: column(3),
    accelYG: column(4),
    accelZG: column(5),
  };
}

/** A take as the server stores it and a thread hands it over; in memory that threads share, as where the page is isolated. */
export async function thinLogOf({
  log,
  saturated,
  calibration,
}: Pick<LongWay, 'log' | 'saturated' | 'calibration'>): Promise<ThinLog> {
  const path = join(temporaryFolder(), 'columns.bin');
  await writeColumns(path, 'key', log, saturated);
  const stored = readFileSync(path);
  const bytes = new SharedArrayBuffer(stored.length);
  new Uint8Array(bytes).set(stored);
  const { uniform } = buildTimeBase(log, saturated);
  return { bytes, isOnGrid: uniform.timeUs === log.timeUs, bias: biasOf(uniform, calibration) };
}

/** Holds what the page makes of a long take's thin log to what the engine makes of the take, to the bit. */
export async function expectSameLongTake(way: LongWay): Promise<void> {
  const { log, saturated, calibration, candidate, presses } = way;
  const { uniform } = buildTimeBase(log, saturated);
  const motion = computeMotion(uniform, calibration);
  const thin = await thinLogOf(way);
  // The bias is found once, for what is shown and for what is made of the thin log.
  const shown = computeCandidateMotion(uniform, { ...calibration, bias: thin.bias });
  for (const name of MOTION) expectSame(name, shown[name], motion[name]);
  expect(shown.stillMask).toEqual(motion.stillMask);
  const long = new LongMotion(shownOf(shown), thin, calibration, forget);
  for (const name of MOTION) expectSame(name, long[name], motion[name]);
  const labels = { spans: [], swings: [] };
  const truth = findTruth(motion, labels);
  expect(findTruth(long, labels)).toEqual(truth);

  const plain = computeSignals(motion, candidate, presses);
  const ready = readyFor(motion, { candidate, presses, labels });
  expect(truthOf(long, labels, ready)).toEqual(truth);
  // Of other labels what came with the take would be wrong.
  const spun = { spans: [{ startUs: 1e6, endUs: 9e6, kind: 'spinning', by: 'person' as const }], swings: [] };
  expect(truthOf(long, spun, ready)).toEqual(findTruth(motion, spun));
  const other = { ...candidate, smoothing: { ...candidate.smoothing, cutoffHz: 3 } };
  for (const settings of [candidate, other]) {
    const mine = settings === candidate ? plain : computeSignals(motion, settings, presses);
    const held = signalsFor(long, settings, presses, null, ready);
    for (const name of SIGNALS) expectSame(name, held[name], mine[name]);
    expect(held.twistStarts).toEqual(mine.twistStarts);
    expect(held.warnings).toEqual(mine.warnings);
    expectSameGestures(held, mine, settings);
    expectSameGestures(held, mine, lower(settings));
  }
  for (const name of FOLDING_STAVES) expect(ready.most[name], name).toBe(findMost(name, plain));
  // Where no stave of twist or impact would be open, their columns do not come along.
  const quiet = quieter(candidate);
  const readyQuiet = readyFor(motion, { candidate: quiet, presses, labels });
  expect(Object.keys(readyQuiet.columns)).toEqual(['swingSpeedDps', 'thrustG', 'twistStarts']);
  const heldQuiet = signalsFor(long, quiet, presses, null, readyQuiet);
  for (const name of SIGNALS) expectSame(name, heldQuiet[name], plain[name]);
  expectSameGestures(heldQuiet, plain, quiet);
  expectSameGestures(heldQuiet, plain, candidate);

  const later = signalsFor(long, candidate, presses, null, null);
  for (const name of SIGNALS) expectSame(name, later[name], plain[name]);
}

function expectSameGestures(held: Signals, plain: Signals, settings: Candidate): void {
  for (const id of GESTURE_DETECTOR_IDS)
    expect(firesOf(id, held, settings), id).toEqual(gestureDetector(id).run(plain, settings));
  expect(dialOf(held, settings.twist)).toEqual(runTwistDial(plain, settings.twist));
}

/** Fires more often, so that what was found for other settings would be wrong. */
function lower(candidate: Candidate): Candidate {
  const { stab, impact, twist } = candidate;
  return {
    ...candidate,
    stab: { ...stab, thrustG: stab.thrustG / 2 },
    impact: { ...impact, impactG: impact.impactG / 3 },
    twist: { ...twist, angleDeg: twist.angleDeg / 2, degPerStep: twist.degPerStep / 2 },
  };
}

/** Hears nothing of twists and hits. */
function quieter(candidate: Candidate): Candidate {
  const { impact, twist } = candidate;
  return {
    ...candidate,
    impact: { ...impact, impactG: 1e6 },
    twist: { ...twist, angleDeg: 1e6, degPerStep: 1e6 },
  };
}

/** By the bits: NaN is NaN, and -0 is not 0. */
function expectSame(name: string, found: Float64Array, expected: Float64Array): void {
  expect(found.length, name).toBe(expected.length);
  const [a, b] = [new BigUint64Array(found.slice().buffer), new BigUint64Array(expected.slice().buffer)];
  expect(
    a.findIndex((bits, i) => bits !== b[i]),
    name,
  ).toBe(-1);
}
