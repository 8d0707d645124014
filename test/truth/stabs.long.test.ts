import { describe, expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { thrust } from '../../scripts/simulate/contact.ts';
import { DEVICES } from '../../scripts/simulate/demo/devices.ts';
import { loopingEight, onStand, reversals, swing } from '../../scripts/simulate/moves.ts';
import { randomTakes } from '../../scripts/simulate/randomTakes.ts';
import type { SensorModel } from '../../scripts/simulate/sensor.ts';
import { type SimulatedTake, simulateTake } from '../../scripts/simulate/take.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { judge, see } from './simulated.ts';

type Device = keyof typeof DEVICES;

/** A sensor of the demo without the ends of its ranges: 0.7 m at 1500 deg/s pulls 49 g. */
function sensor(device: Device, leverArmM: number): SensorModel {
  const { gyro, accel } = DEVICES[device];
  return {
    name: device,
    leverArmM: [leverArmM, 0, 0],
    mount: { tip: '+z', side: '-x' },
    gyro: { ...gyro, codesPerUnit: null },
    accel: { ...accel, codesPerUnit: null },
  };
}

function begun(seed: number): Choreography {
  const c = new Choreography(seed);
  c.startAt({
    heading: c.between(-180, 180),
    tilt: c.between(-60, 60),
    bank: c.between(-90, 90),
    swing: c.between(-40, 40),
  });
  onStand(c, 1);
  c.takeInHand();
  c.wait(1);
  return c;
}

/** Eight thrusts into pads of 6 to 12 g, shocks of 4 to 8 ms; the first five are of the least push that must count. And one into the air. */
function thrustTake(device: Device, rateHz: number, seed: number): SimulatedTake {
  const c = begun(seed);
  for (const driveG of [1.5, 1.5, 1.5, 1.5, 1.5, 1.8, 2.4, 3.2]) {
    thrust(c, { driveG, driveS: c.between(0.1, 0.14), padG: c.between(6, 12) });
    c.wait(c.between(0, 0.5));
  }
  thrust(c, { driveG: 3.2, driveS: 0.1, padG: null });
  const leverArmM = c.between(0.1, 0.7);
  return simulateTake({ rateHz, sensor: sensor(device, leverArmM), choreography: c.finish(), seed });
}

/** Held in hands that shake and go along: single swings, swings that turn back at once, loops, up to 1500 deg/s. */
function heldSwings(device: Device, rateHz: number, seed: number): SimulatedTake {
  const c = begun(seed);
  for (let k = 0; k < 4; ++k) {
    const durationS = c.between(0.2, 0.45);
    swing(c, ((k % 2 === 0 ? 1 : -1) * c.between(400, 1500) * durationS) / 1.875, durationS);
    c.wait(c.between(0.05, 0.3));
  }
  reversals(c, 1450 * (0.22 / 1.875), 0.22, 4);
  c.wait(0.3);
  loopingEight(c, { dps: 900, durationS: 1.5 });
  c.wait(0.4);
  const leverArmM = c.between(0.1, 0.7);
  return simulateTake({ rateHz, sensor: sensor(device, leverArmM), choreography: c.finish(), seed });
}

/** Each sensor at the rates that its low-pass is made for, and the slowest one (42 Hz) at 200 Hz too. */
describe.each([
  ['small', 200],
  ['slim', 200],
  ['narrow', 500],
  ['wide', 1000],
] as const)('with the "%s" sensor at %d Hz', (device, rateHz) => {
  test('every thrust of 1.5 g or more into a pad is one stab, told within 20 ms of the shock; one of 3.2 g into the air is none', () => {
    for (const seed of [1, 2, 3]) {
      const take = thrustTake(device, rateHz, 10 * rateHz + seed);
      const { fires, signals } = judge(see(take));
      const { stab: stabs } = fires;
      expect(stabs.length, `seed ${seed}`).toBe(8);
      take.truth.hits.forEach((hit, k) => {
        // half the shock is 4 ms before its middle; the sensor's low-pass of 42 Hz and two samples make 16 ms
        const lateUs = signals.timeUs[stabs[k]!]! - hit.timeUs;
        expect(lateUs).toBeGreaterThan(-5000);
        expect(lateUs).toBeLessThan(20_000);
      });
    }
  });
});

describe.each([
  ['small', 100],
  ['slim', 200],
  ['narrow', 500],
  ['wide', 1000],
] as const)('swings alone, with the "%s" sensor at %d Hz', (device, rateHz) => {
  const takes = [
    ...randomTakes({
      count: 4,
      seed: rateHz + 7,
      rateHz,
      leverArmM: [0.1, 0.7],
      peakDps: [400, 1500],
      swings: 3,
      sensor: (leverArmM) => sensor(device, leverArmM),
    }),
    ...[1, 2].map((seed) => heldSwings(device, rateHz, 20 * rateHz + seed)),
  ];
  const seenAs = (changes: Partial<Calibration>) => takes.map((take) => judge(see(take, changes)));

  test('reach 1300 deg/s and pulls of 20 g, and hold hits enough that only the thrust stands against a stab', () => {
    const peaks = takes.flatMap((take) => take.truth.swings.map((one) => one.peakDps));
    expect(Math.max(...peaks)).toBeGreaterThan(1300);
    expect(Math.max(...peaks)).toBeLessThan(1650);
    const pull = Math.max(...takes.flatMap((take) => [...see(take).motion.rawThrustG.map(Math.abs)]));
    expect(pull).toBeGreaterThan(20);
    const { impact, stab } = DEFAULT_CANDIDATE;
    const hits = seenAs({}).filter(({ signals }) =>
      signals.impactG.some((g) => g >= stab.hitRatio * impact.impactG),
    );
    expect(hits.length).toBeGreaterThan(1);
  });

  test.each<[string, Partial<Calibration>]>([
    ['the lever arm set', {}],
    // the pull then reads as a thrust backward
    ['the lever arm never set', { leverArmM: 0 }],
    // and here as one forward: at 200 deg/s, beyond which no thrust counts, 0.7 m makes 0.87 g of it, below the 1 g asked
    ['the lever arm never set and the mount end for end', { leverArmM: 0, mount: { tip: '-z', side: '-x' } }],
  ])('hold no stab with %s', (_name, changes) => {
    for (const { fires } of seenAs(changes)) expect(fires.stab.length).toBe(0);
  });

  test('never push a quiet blade by as much as 0.9 g', () => {
    for (const { signals, candidate } of seenAs({})) {
      const { thrustG, swingSpeedDps } = signals;
      const quiet = thrustG.filter((_, i) => swingSpeedDps[i]! <= candidate.stab.quietDps);
      expect(Math.max(...quiet)).toBeLessThan(0.9);
    }
  });
});
