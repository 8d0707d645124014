import { describe, expect, test } from 'vitest';
import type { MotionLog, Press } from '../../../server/engine/base/log.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { EMPTY_LABELS, type Labels } from '../../../server/engine/labels/labels.ts';
import { computeMotion } from '../../../server/engine/motion/motion.ts';
import { computeSignals } from '../../../server/engine/motion/signals.ts';
import { evaluate } from '../../../server/engine/score/evaluate.ts';
import { listEvents } from '../../../server/engine/score/listEvents.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE, withField } from '../../../server/engine/settings/candidateRules.ts';
import { findTruth } from '../../../server/engine/truth/truth.ts';
import { eventReason } from '../../../server/engine/words/events.ts';

const RATE_HZ = 200;

/**
 * Sixteen seconds: 2 s still; 4 s of spinning to and fro with a reversal every 0.5 s; 2 s still; a push along the blade
 * into a pad; still; the blade rolled by 90° in 0.4 s; still to the end. The force of the swing itself is left out.
 */
function plainLog(): MotionLog {
  const length = 16 * RATE_HZ;
  const column = (value: (tS: number) => number) =>
    Float64Array.from({ length }, (_, i) => value(i / RATE_HZ));
  const between = (tS: number, fromS: number, toS: number) => tS >= fromS && tS < toS;
  return {
    timeUs: column((tS) => Math.round(tS * 1e6)),
    gyroXDps: column((tS) => (between(tS, 13, 13.4) ? 225 : 0)),
    gyroYDps: column(() => 0),
    gyroZDps: column((tS) => (between(tS, 2, 6) ? 700 * Math.sin(2 * Math.PI * (tS - 2)) : 0)),
    accelXG: column((tS) => (between(tS, 10, 10.15) ? 2.5 : between(tS, 10.2, 10.21) ? -9 : 0)),
    accelYG: column(() => 0),
    accelZG: column(() => 1),
  };
}

const press = (downMs: number): Press => ({
  button: 'power',
  downUs: downMs * 1000,
  upUs: (downMs + 90) * 1000,
});
const presses = [press(3250), press(4005), press(4500), press(7500), press(11_500)];
const labels: Labels = {
  ...EMPTY_LABELS,
  presses: presses.map(({ downUs, button }) => ({
    downUs,
    button,
    intent: downUs < 7_000_000 ? 'stray' : 'wanted',
    by: 'person',
  })),
};
const { uniform } = buildTimeBase(plainLog());
const motion = computeMotion(uniform, DEFAULT_CALIBRATION);
const evaluated = (candidate: Candidate) =>
  evaluate(computeSignals(motion, candidate, presses), presses, labels, candidate, motion);

describe('evaluate', () => {
  const plain = evaluated(DEFAULT_CANDIDATE);

  test('common practice: the plain momentary check lets the presses at a reversal through, and no other stray one', () => {
    expect(plain.guardScore.falseAccepts).toMatchObject({ k: 2, n: 3, byPerson: 3 });
    expect(plain.guardScore.falseRejects).toMatchObject({ k: 0, n: 2 });
    expect(plain.guardScore.openShare).toBeGreaterThan(0.15);
  });

  test('common practice: a hold of 180 ms refuses them all and costs no wanted press', () => {
    const held = evaluated(withField(DEFAULT_CANDIDATE, 'guard.holdMs', 180));
    expect(held.guardScore.falseAccepts).toMatchObject({ k: 0, n: 3 });
    expect(held.guardScore.falseRejects).toMatchObject({ k: 0, n: 2 });
    expect(held.guardScore.openShare).toBeLessThan(0.05);
    expect(held.closedSpans).toHaveLength(1);
  });

  test('no detector and no score reads the swing-twist angle: it may be undefined all over', () => {
    const signals = computeSignals(motion, DEFAULT_CANDIDATE, presses);
    const without = { ...signals, swingTwistDeg: signals.swingTwistDeg.map(() => Number.NaN) };
    const { signals: _, ...verdicts } = evaluate(without, presses, labels, DEFAULT_CANDIDATE, motion);
    expect(plain).toMatchObject(verdicts);
    expect(plain.dialSteps.length).toBeGreaterThan(0);
  });

  test('finds the eight swings, the spin and its seven reversals, each straight back', () => {
    expect(plain.truth.swings).toHaveLength(8);
    expect(plain.truth.spinning).toHaveLength(1);
    expect(plain.truth.reversals).toHaveLength(7);
    for (const { turnDeg } of plain.truth.reversals) expect(turnDeg).toBeCloseTo(180, 3);
  });

  test('the deflection fires once in every swing, after its onset and before its peak', () => {
    expect(plain.deflectionScore).toMatchObject({ swings: 8, outside: 0 });
    expect(plain.deflectionScore!.once.k).toBe(8);
    expect(plain.deflectionScore!.delayMs!.median).toBeGreaterThan(0);
    expect(plain.deflectionScore!.leadMs!.median).toBeGreaterThan(0);
  });

  test('the push into the pad is one stab, the roll one twist and six steps of the dial', () => {
    expect(plain.fires.stab).toHaveLength(1);
    expect(plain.fires.twist).toHaveLength(1);
    expect(plain.dialSteps.reduce((sum, { steps }) => sum + steps, 0)).toBeGreaterThanOrEqual(5);
  });

  test('truth found beforehand gives the same as the motion itself', () => {
    const signals = computeSignals(motion, DEFAULT_CANDIDATE, presses);
    const again = evaluate(signals, presses, labels, DEFAULT_CANDIDATE, findTruth(motion, labels));
    expect(again.guardScore).toEqual(plain.guardScore);
    expect(again.deflectionScore).toEqual(plain.deflectionScore);
  });
});

describe('listEvents', () => {
  const plain = evaluated(DEFAULT_CANDIDATE);
  const events = listEvents(plain);

  test('lists every event once, in time order', () => {
    const count = (kind: string) => events.filter((event) => event.kind === kind).length;
    expect(count('press')).toBe(5);
    expect(count('deflection')).toBe(8);
    expect(count('impact')).toBe(plain.fires.impact.length);
    expect([count('stab'), count('twist'), count('dial')]).toEqual([1, 1, plain.dialSteps.length]);
    for (let i = 1; i < events.length; ++i)
      expect(events[i]!.timeUs).toBeGreaterThanOrEqual(events[i - 1]!.timeUs);
  });

  test.each([
    ['press', /^(accepted|refused by the speed): \d+ °\/s at the press, /],
    ['deflection', /^\d+(\.\d+)? °\/s, at 240 °\/s or above$/],
    ['impact', /^\d+\.\d\d g, the level at \d+ °\/s being \d+\.\d\d g$/],
    [
      'stab',
      /^a thrust of 1 g or more for 20 ms at 200 °\/s or less, as in the 200 ms before it, then a hit of 0\.64 g or more within 120 ms with no swing above 300 °\/s between$/,
    ],
    ['twist', /^turned by 60° within 600 ms$/],
    ['dial', /^[+−]\d steps? of 15°, the angle being -?\d+\.\d°$/],
  ])('a reason of kind %s reads as a sentence', (kind, pattern) => {
    for (const event of events.filter((one) => one.kind === kind))
      expect(eventReason(event)).toMatch(pattern);
  });

  test('an angle that is 0 but for its last bit has no sign', () => {
    const twistDeg = new Float64Array(plain.signals.twistDeg.length).fill(-1e-17);
    const signals = { ...plain.signals, twistDeg };
    const dial = listEvents({ ...plain, signals, dialSteps: [{ index: 5, steps: -1 }] });
    const turned = dial.find((event) => event.kind === 'dial')!;
    expect(eventReason(turned)).toBe('−1 step of 15°, the angle being 0.0°');
  });
});
