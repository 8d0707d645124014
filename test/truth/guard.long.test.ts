import { describe, expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { DEVICES } from '../../scripts/simulate/demo/devices.ts';
import { carry, onStand, reversals, swing } from '../../scripts/simulate/moves.ts';
import { type SimulatedTake, simulateTake } from '../../scripts/simulate/take.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { dipWidthUs } from '../../server/engine/truth/reversals.ts';
import { judge, see, withGuard } from './simulated.ts';

const RATES_HZ = [100, 200, 500, 1000] as const;

function take(rateHz: number, seed: number, moves: (c: Choreography) => void): SimulatedTake {
  const c = new Choreography(seed);
  c.startAt({ heading: 10, tilt: 0, bank: 90, swing: 15 });
  onStand(c, 2);
  c.takeInHand();
  c.wait(1);
  moves(c);
  c.wait(1);
  const sensor = {
    name: 'wide',
    leverArmM: [0.15, 0, 0] as const,
    mount: { tip: '+x', side: '+y' } as const,
    ...DEVICES.wide,
  };
  return simulateTake({ rateHz, sensor, choreography: c.finish(), seed });
}

function accepted(one: SimulatedTake, holdMs: number): (boolean | null)[] {
  return judge(see(one), withGuard({ holdMs })).verdicts.map((verdict) => verdict.accepted);
}

describe.each(RATES_HZ)('common practice, at %d Hz', (rateHz) => {
  test('a press in mid-swing is refused', () => {
    const one = take(rateHz, 1, (c) => {
      for (const deg of [120, -130, 110]) {
        const { peakS } = swing(c, deg, 0.36);
        c.press('power', peakS, 'stray', 'mid-swing');
        c.wait(0.8);
      }
    });
    expect(accepted(one, 0)).toEqual([false, false, false]);
  });

  test('a press during a slow carry, or at rest, is accepted, whatever the hold', () => {
    const one = take(rateHz, 2, (c) => {
      c.press('power', c.nowS, 'wanted', 'at rest');
      c.wait(0.5);
      const startS = c.nowS;
      carry(c, 6);
      for (const after of [1.5, 3, 4.5]) c.press('power', startS + after, 'wanted', 'carried');
    });
    expect(accepted(one, 0)).toEqual([true, true, true, true]);
    expect(accepted(one, 600)).toEqual([true, true, true, true]);
  });

  test('at the top of a swing the plain momentary check lets a press through; a sufficient hold refuses it', () => {
    const one = take(rateHz, 3, (c) => {
      const turns = c.marked('spinning', () => reversals(c, 150, 0.43, 8));
      // the smoothing is 9 ms late, so the dip of the causal channel lies a little after the turn
      for (const k of [2, 4, 6]) c.press('power', turns[k]! + 0.009, 'stray', 'at the turn');
    });
    expect(accepted(one, 0)).toEqual([true, true, true]);
    // by the closed form below the dips are 2 * 78 ms wide; 190 ms has room for the spread from swing to swing
    expect(accepted(one, 190)).toEqual([false, false, false]);
    expect(accepted(one, 20)).toEqual([true, true, true]);
  });

  test('after a stop a press is refused until the hold is over, then accepted', () => {
    const one = take(rateHz, 4, (c) => {
      const { endS } = swing(c, 130, 0.4);
      // 609 deg/s at its peak: below 240 from 0.089 s before its end on
      c.press('power', endS + 0.03, 'wanted', 'too soon for a hold of 200 ms', 0.04);
      c.press('power', endS + 0.3, 'wanted', 'late enough', 0.04);
      c.wait(0.8);
    });
    expect(accepted(one, 0)).toEqual([true, true]);
    expect(accepted(one, 200)).toEqual([false, true]);
    expect(accepted(one, 500)).toEqual([false, false]);
  });

  test('with one speed for both, every swing that deflects also guards', () => {
    const one = take(rateHz, 5, (c) => {
      for (let k = 0; k < 8; ++k) {
        swing(c, (k % 2 === 0 ? 1 : -1) * (30 + 15 * k), 0.35);
        c.wait(0.5);
      }
    });
    const { guard, deflection } = DEFAULT_CANDIDATE;
    expect(deflection.speedDps).toBe(guard.speedDps);
    const { deflections: fires, closed } = judge(see(one));
    const deflections = fires!;
    expect(deflections.length).toBeGreaterThan(3);
    expect(deflections.length).toBeLessThan(8);
    for (const index of deflections) expect(closed[index]).toBe(1);
  });

  test('a swing without a press brings no verdict; a press without a swing no deflection', () => {
    const swings = take(rateHz, 6, (c) => reversals(c, 140, 0.4, 4));
    expect(judge(see(swings)).verdicts).toEqual([]);
    expect(judge(see(swings)).deflections!.length).toBe(4);
    const presses = take(rateHz, 7, (c) => {
      for (let k = 0; k < 4; ++k) {
        c.press('power', c.nowS, 'wanted', 'at rest');
        c.wait(0.6);
      }
    });
    expect(judge(see(presses)).verdicts.map((verdict) => verdict.accepted)).toEqual([true, true, true, true]);
    expect(judge(see(presses)).deflections!.length).toBe(0);
  });

  // Flash and Hogan 1985 [citation from memory]: 30 D/T u^2 (1 - u)^2 = speed, solved for u
  test('the dip of a reversal is as wide as the closed form of the swings beside it says', () => {
    const [deg, swingS] = [150, 0.43];
    const one = take(rateHz, 8, (c) => {
      c.marked('spinning', () => {
        for (let k = 0; k < 8; ++k) swing(c, k % 2 === 0 ? deg : -deg, swingS, 0);
      });
    });
    const root = Math.sqrt((240 * swingS) / (30 * deg));
    const widthUs = swingS * (1 - Math.sqrt(1 - 4 * root)) * 1e6;
    const { truth, signals } = judge(see(one));
    expect(truth.reversals.length).toBe(7);
    for (const reversal of truth.reversals) {
      const found = dipWidthUs(signals.swingSpeedDps, signals.timeUs, reversal.index, 240);
      // a sample at either end; the smoothing widens it by under 4 ms, tremor of 2.5 deg/s at 1500 deg/s^2 by 2 ms
      expect(Math.abs(found! - widthUs)).toBeLessThan(2e6 / rateHz + 6000);
    }
  });

  test('a guard stays closed through a reversal if and only if the hold is as long as the dip', () => {
    const one = take(rateHz, 9, (c) => {
      c.marked('spinning', () => reversals(c, 150, 0.42, 10));
    });
    const seen = see(one);
    const { truth, signals } = judge(seen);
    expect(truth.reversals.length).toBe(9);
    for (const reversal of truth.reversals) {
      const dipUs = dipWidthUs(signals.swingSpeedDps, signals.timeUs, reversal.index, 240)!;
      const stepMs = 1000 / signals.rateHz;
      const openAt = (holdMs: number) => {
        const { closed } = judge(seen, withGuard({ holdMs }));
        return closed.subarray(reversal.peakBefore, reversal.peakAfter).includes(0);
      };
      expect(openAt(dipUs / 1000 + 0.01 * stepMs)).toBe(false);
      expect(openAt(dipUs / 1000 - 1.01 * stepMs)).toBe(true);
    }
  });
});
