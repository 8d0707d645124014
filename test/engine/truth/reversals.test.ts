import { describe, expect, test } from 'vitest';
import { runGuard } from '../../../server/engine/detect/guard.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { dipWidthUs, findReversals } from '../../../server/engine/truth/reversals.ts';
import { proposeSwings } from '../../../server/engine/truth/swings.ts';
import { fakeMotion, fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const RATE_HZ = 100;
const EVERYWHERE = [{ startUs: 0, endUs: 1e9 }];
/** A swing of 300 ms in the plane that `planeDeg` turns about the blade, as rates about y and z. */
const swingAbout = (planeDeg: number, peakDps = 600) =>
  Array.from({ length: 30 }, (_, i) => {
    const speed = peakDps * Math.sin((Math.PI * i) / 30);
    const plane = (planeDeg * Math.PI) / 180;
    return [speed * Math.cos(plane), speed * Math.sin(plane)] as const;
  });
const motionOf = (rates: readonly (readonly [number, number])[], options = {}) => {
  const motion = fakeMotion(
    rates.map((r) => r[1]),
    { rateHz: RATE_HZ, gyroYDps: rates.map((r) => r[0]), ...options },
  );
  for (let i = 0; i < rates.length; ++i) motion.trueSpeedDps[i] = Math.hypot(...rates[i]!);
  return motion;
};
const rest = [[0, 0]] as const;

describe('findReversals', () => {
  test.each([
    ['straight back', 0, 180, 180],
    ['a quarter turn of the plane', 0, 90, 90],
    ['onward in the same direction', 40, 40, 0],
    ['the shorter way round', 10, -170, 180],
    ['either sense', 30, -30, 60],
  ])('%s: turns from %i to %i by %i degrees', (_name, from, to, turnDeg) => {
    const motion = motionOf([...swingAbout(from), ...swingAbout(to), ...rest]);
    const [reversal, ...others] = findReversals(motion, proposeSwings(motion), EVERYWHERE);
    expect(others).toEqual([]);
    expect(reversal).toMatchObject({ index: 30, timeUs: 300_000, peakBefore: 15, peakAfter: 45 });
    expect(reversal?.lowestDps).toBeCloseTo(0, 9);
    expect(reversal?.turnDeg).toBeCloseTo(turnDeg, 6);
  });

  test('only inside a spinning span', () => {
    const motion = motionOf([...swingAbout(0), ...swingAbout(180), ...swingAbout(0), ...rest]);
    const swings = proposeSwings(motion);
    const found = (startMs: number, endMs: number) =>
      findReversals(motion, swings, [{ startUs: startMs * 1000, endUs: endMs * 1000 }]).map((r) => r.index);
    expect(found(0, 900)).toEqual([30, 60]);
    expect(found(300, 599)).toEqual([30]);
    expect(found(301, 599)).toEqual([]);
    expect(findReversals(motion, swings, [])).toEqual([]);
  });

  test('none across a gap', () => {
    const segments = [
      { start: 0, end: 31 },
      { start: 31, end: 62 },
    ];
    const motion = motionOf([...swingAbout(0), ...rest, ...swingAbout(180), ...rest], { segments });
    expect(proposeSwings(motion)).toHaveLength(2);
    expect(findReversals(motion, proposeSwings(motion), EVERYWHERE)).toEqual([]);
  });
});

describe('dipWidthUs', () => {
  const grid = (length: number, stepUs = 10_000) => Float64Array.from({ length }, (_, i) => i * stepUs);
  const width = (speed: number[], index: number, speedDps = 240, timeUs = grid(speed.length)) =>
    dipWidthUs(Float64Array.from(speed), timeUs, index, speedDps);

  test.each<[string, number[], number, number | null]>([
    ['from the last sample at or above to the next', [300, 240, 100, 0, 100, 240, 300], 3, 40_000],
    ['the same from anywhere in the dip', [300, 240, 100, 0, 100, 240, 300], 2, 40_000],
    ['0 where the speed stays above', [...new Array<number>(20).fill(300)], 3, 0],
    ['a channel that lags: the dip that follows within 100 ms', [300, 300, 300, 300, 0, 300], 1, 20_000],
    ['null where the blade was not that fast before', [100, 0, 100, 300], 1, null],
    ['null where it does not come back', [300, 100, 0, 100], 2, null],
    ['null up to a NaN', [300, Number.NaN, 0, 300], 2, null],
  ])('%s', (_name, speed, index, expected) => {
    expect(width(speed, index)).toBe(expected);
  });

  test('null up to a gap', () => {
    const timeUs = Float64Array.from([0, 10_000, 20_000, 500_000, 510_000]);
    expect(width([300, 0, 0, 300, 300], 1, 240, timeUs)).toBe(null);
    expect(width([300, 300, 300, 0, 300], 3, 240, timeUs)).toBe(null);
  });

  test('a guard at that speed stays closed through the reversal if and only if its hold is as long as the dip', () => {
    const profile = fc.array(fc.integer({ min: 0, max: 239 }), { minLength: 0, maxLength: 30 });
    fc.assert(
      fc.property(profile, fc.integer({ min: 0, max: 400 }), (dip, holdMs) => {
        const speed = [400, 300, ...dip, 300, 400];
        const dipUs = width(speed, Math.min(speed.length - 1, 2))!;
        const guard = { ...DEFAULT_CANDIDATE.guard, speedDps: 240, holdMs };
        const closed = runGuard(fakeSignals({ swingSpeedDps: speed }, { rateHz: RATE_HZ }), guard);
        const isThrough = closed.every((c) => c === 1);
        const holdSamples = Math.max(1, Math.ceil((holdMs * RATE_HZ) / 1000));
        expect(isThrough).toBe(holdSamples * 10_000 >= dipUs);
      }),
    );
  });
});
