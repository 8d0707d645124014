import { expect, test } from 'vitest';
import { IMPACT } from '../../../server/engine/detect/impact.ts';
import { STAB } from '../../../server/engine/detect/stab.ts';
import { TWIST } from '../../../server/engine/detect/twistTrigger.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { fakeSignals } from '../fakeSignals.ts';

const WITHIN = { start: 1, end: 5 };
const { stab, impact, twist } = DEFAULT_CANDIDATE;

test('the hardest push within a stretch is what came nearest to a stab; what is not known is left out', () => {
  const level = (...thrustG: number[]) => STAB.level(fakeSignals({ thrustG }), WITHIN, DEFAULT_CANDIDATE);
  expect(level(9, -0.5, Number.NaN, 1.2, 0.3, 9)).toEqual({ reached: 1.2, asked: stab.thrustG });
  expect(level(9, -0.5, -2, -0.4, -1, 9).reached).toBe(-0.4);
  expect(level(9, Number.NaN, Number.NaN, Number.NaN, Number.NaN, 9).reached).toBeNaN();
});

test('a blow counts less by what the speed of the swing raises the level by', () => {
  const signals = fakeSignals({ impactG: [9, 2, 3, 0, 0, 9], swingSpeedDps: [0, 0, 500, 0, 0, 0] });
  const groups = { impact: { ...impact, allowanceGPer100Dps: 0.5 } };
  expect(IMPACT.level(signals, WITHIN, groups)).toEqual({ reached: 2, asked: impact.impactG });
});

test('a twist is as far as it goes from its lowest to its highest angle; what is not known turns nothing', () => {
  const twistRateDps = [900, 200, Number.NaN, -500, 100, 900];
  const { reached, asked } = TWIST.level(
    fakeSignals({ twistRateDps }, { rateHz: 10 }),
    WITHIN,
    DEFAULT_CANDIDATE,
  );
  // 0, +20, then 50 back to -30, and up to -20
  expect(reached).toBeCloseTo(50, 12);
  expect(asked).toBe(twist.angleDeg);
});
