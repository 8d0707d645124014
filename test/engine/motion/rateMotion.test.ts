import { describe, expect, test } from 'vitest';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { runStab } from '../../../server/engine/detect/stab.ts';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { computeMotion, computeRateMotion } from '../../../server/engine/motion/motion.ts';
import { computeSignals, computeSpeedSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { findTruth } from '../../../server/engine/truth/truth.ts';
import { seededNormal } from '../../seeded.ts';

/** Rest, then swings about z with a gap among them, on a tilted sensor. */
function log(rateHz: number) {
  const noise = seededNormal(4);
  const length = 14 * rateHz;
  const timeUs = Float64Array.from(
    { length },
    (_, i) => Math.round((i * 1e6) / rateHz) + (i > 9 * rateHz ? 400_000 : 0),
  );
  const column = (of: (s: number) => number, rms: number) =>
    Float64Array.from({ length }, (_, i) => of(i / rateHz) + rms * noise());
  const swing = (s: number) => (s < 3 || s > 12 ? 0 : 500 * Math.sin(2 * Math.PI * 1.1 * s));
  return {
    timeUs,
    gyroXDps: column((s) => swing(s) + 1.2, 0.2),
    gyroYDps: column((s) => 0.3 * swing(s) - 0.7, 0.2),
    gyroZDps: column((s) => (s < 3 ? 0 : 40 * Math.cos(s)), 0.2),
    accelXG: column(() => 0, 0.004),
    accelYG: column(() => 1, 0.004),
    accelZG: column(() => 0, 0.004),
  };
}

test('a stab is not to be run over the speed alone: no thrust was computed', () => {
  const { uniform } = buildTimeBase(log(100));
  const speed = computeSpeedSignals(
    computeRateMotion(uniform, DEFAULT_CALIBRATION),
    DEFAULT_CANDIDATE.smoothing,
  );
  const { stab, impact } = DEFAULT_CANDIDATE;
  // @ts-expect-error  the compiler refuses it; so does the run.
  expect(() => runStab(speed, stab, impact)).toThrow(TypeError);
});

describe.each([100, 200, 500])('at %d Hz', (rateHz) => {
  const calibration = { ...DEFAULT_CALIBRATION, mount: { tip: '-z', side: '+x' } as const };
  const { uniform } = buildTimeBase(log(rateHz));
  const full = computeMotion(uniform, calibration);
  const light = computeRateMotion(uniform, calibration);

  test('rates and true speed are those of the full motion, bit for bit', () => {
    for (const name of ['timeUs', 'gyroXDps', 'gyroYDps', 'gyroZDps', 'trueSpeedDps'] as const)
      expect(light[name]).toEqual(full[name]);
    expect(light.segments).toEqual(full.segments);
  });

  test('it gives the same swings, spins and reversals', () => {
    const truth = findTruth(light, EMPTY_LABELS);
    expect(truth.swings.length).toBeGreaterThan(10);
    expect(truth).toEqual(findTruth(full, EMPTY_LABELS));
  });

  test.each([
    DEFAULT_CANDIDATE.smoothing,
    { kind: 'firstOrder', order: 1, cutoffHz: 12, lengthMs: 25 } as const,
    { kind: 'none', order: 2, cutoffHz: 25, lengthMs: 25 } as const,
    { kind: 'median', order: 2, cutoffHz: 25, lengthMs: 40 } as const,
  ])('swing speed with $kind smoothing is that of the full signals, bit for bit', (smoothing) => {
    const signals = computeSignals(full, { ...DEFAULT_CANDIDATE, smoothing }, []);
    expect(computeSpeedSignals(light, smoothing).swingSpeedDps).toEqual(signals.swingSpeedDps);
  });
});
