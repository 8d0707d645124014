import { describe, expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { knock, thrust } from '../../scripts/simulate/contact.ts';
import { DEVICES } from '../../scripts/simulate/demo/devices.ts';
import { onStand, swing } from '../../scripts/simulate/moves.ts';
import { randomTakes } from '../../scripts/simulate/randomTakes.ts';
import type { SensorModel } from '../../scripts/simulate/sensor.ts';
import { type SimulatedTake, simulateTake } from '../../scripts/simulate/take.ts';
import { computeSignals } from '../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { judge, see } from './simulated.ts';

function sensor(leverArmM: number): SensorModel {
  const { gyro, accel } = DEVICES.wide;
  return {
    name: 'wide, without ends',
    leverArmM: [leverArmM, 0, 0],
    mount: { tip: '+z', side: '+y' },
    gyro: { ...gyro, codesPerUnit: null },
    accel: { ...accel, codesPerUnit: null },
  };
}

describe('a plain swing about a turning point at rest', () => {
  const takes = randomTakes({
    count: 12,
    seed: 31,
    rateHz: 500,
    leverArmM: [0.1, 0.7],
    peakDps: [400, 1500],
    swings: 3,
    sensor,
  });

  test('reads below 0.3 g of thrust, where the force less gravity alone reads more than 3 g', () => {
    let strong = 0;
    for (const take of takes) {
      const seen = see(take);
      const { thrustG } = computeSignals(seen.motion, DEFAULT_CANDIDATE, []);
      for (let i = 0; i < thrustG.length; ++i) {
        if (seen.motion.rawThrustG[i]! > -3) continue;
        ++strong;
        // What may be left: 14 mg of accelerometer bias, and tilt that the gyro's noise and the bandwidths (330 and
        // 400 Hz, 0.3 ms apart) leave; 0.3 g is a third of the least thrust that counts as one.
        expect(Math.abs(thrustG[i]!)).toBeLessThan(0.3);
      }
    }
    expect(strong).toBeGreaterThan(1000);
  });

  test('never becomes a stab, nor an impact', () => {
    for (const take of takes) {
      const { stab: stabs, impact: impacts } = judge(see(take)).fires;
      expect(stabs.length).toBe(0);
      expect(impacts.length).toBe(0);
    }
  });

  test('with no lever arm stated, the pull stays in and is far beyond 0.3 g', () => {
    const seen = see(takes[0]!, { leverArmM: 0 });
    const { thrustG } = computeSignals(seen.motion, DEFAULT_CANDIDATE, []);
    expect(Math.min(...thrustG)).toBeLessThan(-1);
  });
});

function thrustTake(seed: number, driveG: number, padG: number | null): SimulatedTake {
  const c = new Choreography(seed);
  c.startAt({ heading: 50, tilt: -20, bank: 30 });
  onStand(c, 2);
  c.takeInHand();
  c.wait(1.5);
  thrust(c, { driveG, driveS: c.between(0.1, 0.14), padG });
  c.wait(0.5);
  return simulateTake({ rateHz: 1000, sensor: sensor(0.35), choreography: c.finish(), seed });
}

describe('a thrust', () => {
  test.each([1, 2, 3, 4, 5, 6])('into a pad is a stab, told at the shock (take %d)', (seed) => {
    const take = thrustTake(seed, 2 + seed / 6, 9);
    const { fires, signals } = judge(see(take));
    const { stab: stabs } = fires;
    expect(stabs.length).toBe(1);
    const lateUs = signals.timeUs[stabs[0]!]! - take.truth.hits[0]!.timeUs;
    // a shock of 4 to 8 ms, told somewhere on its rising side or just after
    expect(Math.abs(lateUs)).toBeLessThan(8000);
  });

  test('of 2.2 g reads 2.2 g along the blade, less what a smoothing of 25 Hz takes off a push of 0.12 s', () => {
    const take = thrustTake(11, 2.2, null);
    const seen = see(take);
    const { thrustG } = computeSignals(seen.motion, DEFAULT_CANDIDATE, []);
    const peakG = Math.max(...thrustG);
    // a sine squared of 0.12 s has its power below 17 Hz, where this smoothing passes 0.9 and more; the tremor adds
    // 0.05 g at most
    expect(peakG).toBeGreaterThan(0.88 * 2.2);
    expect(peakG).toBeLessThan(2.2 + 0.08);
  });

  test('that meets nothing is no stab', () => {
    expect(judge(see(thrustTake(21, 2.6, null))).fires.stab.length).toBe(0);
  });

  test('too weak for the setting is no stab', () => {
    expect(judge(see(thrustTake(22, 0.9, 9))).fires.stab.length).toBe(0);
  });
});

test.each([1, 2, 3])('a knock of 14 g in a hard swing is one impact and no stab (take %d)', (seed) => {
  const c = new Choreography(seed);
  onStand(c, 2);
  c.takeInHand();
  c.wait(1);
  const { peakS } = swing(c, 120, 0.3);
  knock(c, peakS + 0.04, -14);
  c.wait(1);
  const take = simulateTake({ rateHz: 500, sensor: sensor(0.3), choreography: c.finish(), seed });
  const { fires, signals } = judge(see(take));
  const { impact: impacts, stab: stabs } = fires;
  expect(impacts.length).toBe(1);
  expect(Math.abs(signals.timeUs[impacts[0]!]! - take.truth.hits[0]!.timeUs)).toBeLessThan(8000);
  expect(stabs.length).toBe(0);
});
