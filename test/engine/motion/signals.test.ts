import { describe, expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { makeSmoother } from '../../../server/engine/filter/smoothing.ts';
import { ImpactMeter } from '../../../server/engine/motion/impact.ts';
import { computeMotion, type Motion } from '../../../server/engine/motion/motion.ts';
import { computeSignals, type Signals } from '../../../server/engine/motion/signals.ts';
import { SwingSpeed } from '../../../server/engine/motion/swingSpeed.ts';
import { TwistAngle } from '../../../server/engine/motion/twist.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { seededRandom } from '../../seeded.ts';
import { headOf, uniformLog, wildLog } from '../uniformLogs.ts';

const CALIBRATION = { ...DEFAULT_CALIBRATION, bias: { knots: [] }, leverArmM: 0.2 };
const CAUSAL = [
  'swingSpeedDps',
  'thrustG',
  'twistRateDps',
  'twistDeg',
  'swingTwistDeg',
  'impactG',
] as const satisfies readonly (keyof Signals)[];

const CANDIDATES: readonly [string, Candidate][] = [
  ['the default', DEFAULT_CANDIDATE],
  ['unsmoothed', { ...DEFAULT_CANDIDATE, smoothing: { kind: 'none', order: 2, cutoffHz: 25, lengthMs: 25 } }],
  [
    'of first order',
    { ...DEFAULT_CANDIDATE, smoothing: { kind: 'firstOrder', order: 1, cutoffHz: 12, lengthMs: 25 } },
  ],
  [
    'of order 4',
    { ...DEFAULT_CANDIDATE, smoothing: { kind: 'butterworth', order: 4, cutoffHz: 8, lengthMs: 25 } },
  ],
  [
    'with a moving average',
    { ...DEFAULT_CANDIDATE, smoothing: { kind: 'movingAverage', order: 1, cutoffHz: 12, lengthMs: 40 } },
  ],
  [
    'with a median',
    { ...DEFAULT_CANDIDATE, smoothing: { kind: 'median', order: 1, cutoffHz: 12, lengthMs: 40 } },
  ],
  [
    'with twists from presses',
    { ...DEFAULT_CANDIDATE, twist: { ...DEFAULT_CANDIDATE.twist, startAt: 'hold' } },
  ],
  [
    'with twists from the start',
    { ...DEFAULT_CANDIDATE, twist: { ...DEFAULT_CANDIDATE.twist, startAt: 'takeStart' } },
  ],
];
const PRESSES: readonly Press[] = [
  { button: 'a', downUs: 1_234_567, upUs: 1_300_000 },
  { button: 'b', downUs: 2_000_000, upUs: null },
];

/** Every stage by hand, in random chunks: what a prop would do, which knows only the sample at hand. */
function stream(
  motion: Motion,
  candidate: Candidate,
  presses: readonly Press[],
): Record<(typeof CAUSAL)[number], number[]> {
  const { rateHz } = motion;
  const { smoothing, impact, twist } = candidate;
  const speed = new SwingSpeed(smoothing, rateHz);
  const thrust = makeSmoother(smoothing, rateHz);
  const meter = new ImpactMeter(impact.highPassHz, rateHz);
  const angle = new TwistAngle(rateHz);
  const out = {
    swingSpeedDps: [],
    thrustG: [],
    twistRateDps: [],
    twistDeg: [],
    swingTwistDeg: [],
    impactG: [],
  } as Record<(typeof CAUSAL)[number], number[]>;
  const starts = new Set(motion.segments.map(({ start }) => start));
  const oneSample = (i: number) => {
    if (starts.has(i)) for (const stage of [speed, thrust, meter, angle]) stage.reset();
    const [gx, gy, gz] = [motion.gyroXDps[i]!, motion.gyroYDps[i]!, motion.gyroZDps[i]!];
    const sinceUs = i === 0 ? -1 : motion.timeUs[i - 1]!;
    const isPressed = presses.some(({ downUs }) => downUs > sinceUs && downUs <= motion.timeUs[i]!);
    const isStart =
      twist.startAt === 'rest' ? motion.stillMask[i] === 1 : twist.startAt === 'hold' && isPressed;
    angle.step(gx, gy, gz, isStart);
    out.swingSpeedDps.push(speed.step(gy, gz));
    out.thrustG.push(thrust.step(motion.thrustUnsmoothedG[i]!));
    out.twistRateDps.push(gx);
    out.twistDeg.push(angle.turnedDeg);
    out.swingTwistDeg.push(angle.swingTwistDeg);
    out.impactG.push(meter.step(motion.accelXG[i]!, motion.accelYG[i]!, motion.accelZG[i]!));
  };
  const random = seededRandom(12);
  for (let i = 0; i < motion.timeUs.length; ) {
    const end = Math.min(motion.timeUs.length, i + 1 + Math.floor(80 * random()));
    for (; i < end; ++i) oneSample(i);
  }
  return out;
}

describe.each(CANDIDATES)('candidate: %s', (_, candidate) => {
  const log = wildLog(1, 900, {
    stillSamples: 250,
    segments: [
      { start: 0, end: 500 },
      { start: 500, end: 501 },
      { start: 501, end: 900 },
    ],
  });
  const motion = computeMotion(log, CALIBRATION);
  const signals = computeSignals(motion, candidate, PRESSES);

  test('a stream of samples gives the same channels, bit for bit, anew behind each gap', () => {
    const streamed = stream(motion, candidate, PRESSES);
    for (const name of CAUSAL) expect([...signals[name]], name).toEqual(streamed[name]);
  });

  test('no channel knows what follows', () => {
    for (const end of [1, 260, 500, 502, 777]) {
      const head = computeSignals(computeMotion(headOf(log, end), CALIBRATION), candidate, PRESSES);
      for (const name of CAUSAL)
        expect(head[name], `${name} before ${end}`).toEqual(signals[name].slice(0, end));
    }
  });

  test('the grid and the truth are those of the motion', () => {
    for (const name of ['timeUs', 'segments', 'saturated', 'trueSpeedDps', 'rateHz'] as const)
      expect(signals[name]).toBe(motion[name]);
    expect(signals.warnings).toEqual([]);
  });
});

test('unsmoothed swing speed is the length of the rates across the blade', () => {
  const log = uniformLog(5, { gyroXDps: () => 99, gyroYDps: () => -3, gyroZDps: () => 4, accelZG: () => 1 });
  const candidate = CANDIDATES[1]![1];
  const signals = computeSignals(computeMotion(log, CALIBRATION), candidate, []);
  expect([...signals.swingSpeedDps]).toEqual([5, 5, 5, 5, 5]);
});

describe('a log too slow for a setting says so and leaves it out', () => {
  const motion = computeMotion(wildLog(3, 100, { rateHz: 50 }), CALIBRATION);

  test('smoothing', () => {
    const candidate: Candidate = {
      ...DEFAULT_CANDIDATE,
      impact: { ...DEFAULT_CANDIDATE.impact, highPassHz: 5 },
    };
    const signals = computeSignals(motion, candidate, []);
    expect(signals.warnings).toEqual(['A log at 50 Hz cannot show smoothing at 25 Hz: it is left out here.']);
    const unsmoothed = computeSignals(
      motion,
      { ...candidate, smoothing: { kind: 'none', order: 2, cutoffHz: 1, lengthMs: 25 } },
      [],
    );
    expect(signals.swingSpeedDps).toEqual(unsmoothed.swingSpeedDps);
    expect(signals.thrustG).toEqual(unsmoothed.thrustG);
  });

  test('a moving average over no more than one sample', () => {
    const smoothing = { ...DEFAULT_CANDIDATE.smoothing, kind: 'movingAverage', lengthMs: 20 } as const;
    const { warnings } = computeSignals(motion, { ...DEFAULT_CANDIDATE, smoothing }, []);
    expect(warnings).toContain(
      'A log at 50 Hz cannot show smoothing over 20 ms, which is one sample: it is left out here.',
    );
  });

  test('impacts', () => {
    const candidate: Candidate = {
      ...DEFAULT_CANDIDATE,
      smoothing: { ...DEFAULT_CANDIDATE.smoothing, cutoffHz: 5 },
      impact: { ...DEFAULT_CANDIDATE.impact, highPassHz: 30 },
    };
    const signals = computeSignals(motion, candidate, []);
    expect(signals.warnings).toEqual([
      'A log at 50 Hz holds nothing above 30 Hz to hear an impact by: none is found here.',
    ]);
    expect(signals.impactG.every((g) => g === 0)).toBe(true);
  });
});

test('no sample gives empty channels', () => {
  const signals = computeSignals(computeMotion(uniformLog(0), CALIBRATION), DEFAULT_CANDIDATE, PRESSES);
  for (const name of CAUSAL) expect(signals[name].length).toBe(0);
});
