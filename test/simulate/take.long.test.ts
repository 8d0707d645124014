import { expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { thrust } from '../../scripts/simulate/contact.ts';
import { lyingEight, onStand, reversals, swing, twist } from '../../scripts/simulate/moves.ts';
import { randomTakes } from '../../scripts/simulate/randomTakes.ts';
import { idealSensor, type SensorModel } from '../../scripts/simulate/sensor.ts';
import { type SimulatedTake, simulateTake } from '../../scripts/simulate/take.ts';

const STILL_HANDS = { tremorDps: 0, tremorMps2: 0, swayDeg: 0 };
const NOISY: SensorModel = {
  ...idealSensor([0.2, 0.01, 0]),
  gyro: { bias: [1, -2, 0.5], driftPerMin: 0.1, noiseDensity: 0.01, bandwidthHz: 90, codesPerUnit: 16.4 },
  accel: { bias: [0.01, 0, -0.02], driftPerMin: 0, noiseDensity: 2e-4, bandwidthHz: 150, codesPerUnit: 2048 },
};

function shortTake(seed: number, hands = {}): SimulatedTake {
  const c = new Choreography(seed, hands);
  onStand(c, 1);
  c.takeInHand();
  c.wait(0.8);
  const turns = c.marked('spinning', () => reversals(c, 120, 0.35, 4));
  c.press('power', turns[1]!, 'stray', 'at a turn');
  c.wait(0.8);
  twist(c, 80, 0.4);
  thrust(c, { driveG: 2, driveS: 0.11, padG: 7 });
  c.marked('spinning', () => lyingEight(c, { azimuthDeg: 65, elevationDeg: 15, hz: 1, durationS: 3 }));
  c.wait(0.5);
  const clock = { jitterUs: 100, skewPpm: 20, stampStepUs: 10, lostRows: 2, lostRun: null };
  return simulateTake({ rateHz: 200, sensor: NOISY, choreography: c.finish(), clock, seed });
}

test('the same seed gives the same take, bit for bit; another seed another', () => {
  const [a, b, other] = [shortTake(3), shortTake(3), shortTake(4)];
  expect(a.log).toEqual(b.log);
  expect(a.truth).toEqual(b.truth);
  expect([...a.log.gyroZDps]).not.toEqual([...other.log.gyroZDps]);
});

test('what lies on the stand is truly still: nothing but bias, noise and steps', () => {
  const { log, fine } = shortTake(3);
  for (let i = 0; i < 4000; ++i) {
    expect(fine.rate.x[i]! || fine.rate.y[i]! || fine.rate.z[i]!).toBe(0);
  }
  let sum = 0;
  for (let i = 0; i < 190; ++i) sum += log.gyroYDps[i]! / 190;
  // noise 0.01 * sqrt 200 = 0.14 deg/s over root 190, and half a step: four times 0.01
  expect(Math.abs(sum + 2)).toBeLessThan(0.045);
});

test('a minimum-jerk swing is told with its peak, 1.875 D/T, half-way', () => {
  const c = new Choreography(1, STILL_HANDS);
  onStand(c, 1);
  swing(c, 120, 0.25, 0);
  c.wait(1);
  const { truth } = simulateTake({
    rateHz: 1000,
    sensor: idealSensor([0, 0, 0]),
    choreography: c.finish(),
    seed: 1,
  });
  expect(truth.swings.length).toBe(1);
  expect(truth.swings[0]!.peakDps).toBeCloseTo(900, 6);
  expect(truth.swings[0]!.peakUs).toBe(1_125_000);
  // a tenth of the peak: 16 u^2 (1 - u)^2 = 0.1 at u = 0.0867 [solved here]
  const u = (1 - Math.sqrt(1 - Math.sqrt(0.1))) / 2;
  expect(Math.abs(truth.swings[0]!.startUs - (1e6 + 250_000 * u))).toBeLessThan(251);
  expect(Math.abs(truth.swings[0]!.endUs - (1.25e6 - 250_000 * u))).toBeLessThan(251);
});

test('swings out and straight back are told as reversals of 180 degrees, all but standing still', () => {
  const c = new Choreography(1, STILL_HANDS);
  onStand(c, 1);
  const turns = c.marked('spinning', () => reversals(c, 150, 0.4, 6));
  c.wait(1);
  const plan = { rateHz: 200, sensor: idealSensor([0.2, 0, 0]), choreography: c.finish(), seed: 1 };
  const { truth } = simulateTake(plan);
  expect(truth.reversals.length).toBe(5);
  truth.reversals.forEach((reversal, k) => {
    expect(Math.abs(reversal.timeUs - turns[k]! * 1e6)).toBeLessThan(300);
    expect(reversal.turnDeg).toBeCloseTo(180, 6);
    expect(reversal.lowestDps).toBeLessThan(0.1);
  });
});

test('outside a spinning span nothing is a reversal', () => {
  const c = new Choreography(1, STILL_HANDS);
  reversals(c, 150, 0.4, 6);
  const plan = { rateHz: 200, sensor: idealSensor([0.2, 0, 0]), choreography: c.finish(), seed: 1 };
  expect(simulateTake(plan).truth.swings.length).toBe(6);
  expect(simulateTake(plan).truth.reversals).toEqual([]);
});

test('a lying figure-eight never stops: its slow ends turn the blade and keep it moving', () => {
  const c = new Choreography(1, STILL_HANDS);
  const shape = { azimuthDeg: 70, elevationDeg: 15, hz: 0.9, durationS: 12 };
  const ends = c.marked('spinning', () => lyingEight(c, shape));
  const plan = { rateHz: 200, sensor: idealSensor([0.2, 0, 0]), choreography: c.finish(), seed: 1 };
  const { truth } = simulateTake(plan);
  const inside = truth.reversals.filter((r) => r.timeUs > 1e6 && r.timeUs < 11e6);
  expect(inside.length).toBeGreaterThanOrEqual(16);
  for (const reversal of inside) {
    // at an end only the lift moves, at 2 * 15 deg * 2 pi * 0.9 Hz = 170 deg/s; the phase wanders by 10 %
    expect(Math.abs(reversal.lowestDps - 170)).toBeLessThan(17);
    expect(reversal.turnDeg).toBeGreaterThan(140);
    // the azimuth's circle is shorter where the blade is lifted, which moves the lowest point a little off the end
    expect(ends.some((endS) => Math.abs(endS * 1e6 - reversal.timeUs) < 25_000)).toBe(true);
  }
});

test('a press is told by the stamps of the rows that show it', () => {
  const { truth, log } = shortTake(3);
  const [press] = truth.presses;
  expect(log.timeUs.includes(press!.downUs)).toBe(true);
  expect(log.timeUs.includes(press!.upUs)).toBe(true);
  expect(press!.upUs - press!.downUs).toBeGreaterThan(60_000);
});

test('a swing pulls outward: without a thrust the sensor reads minus w^2 r along the blade', () => {
  const [take] = randomTakes({
    count: 1,
    seed: 11,
    rateHz: 500,
    leverArmM: [0.4, 0.4],
    peakDps: [900, 900],
    swings: 1,
  });
  const { fine, truth } = take!;
  const i = Math.round((truth.swings[0]!.peakUs / 1e6) * fine.hz);
  const w = (truth.swings[0]!.peakDps * Math.PI) / 180;
  const gravityX = fine.force.x[i]! + w * w * 0.4;
  expect(Math.abs(gravityX)).toBeLessThanOrEqual(9.80666);
  expect(fine.force.x[i]! / 9.80665).toBeLessThan(-9);
});

test('random takes keep to their limits and differ', () => {
  const takes = randomTakes({
    count: 6,
    seed: 2,
    rateHz: 100,
    leverArmM: [0.1, 0.7],
    peakDps: [150, 1500],
    swings: 2,
  });
  const arms = takes.map((take) => take.truth.sensor.leverArmM[0]);
  expect(new Set(arms).size).toBe(6);
  for (const take of takes) {
    expect(take.truth.sensor.leverArmM[0]).toBeGreaterThanOrEqual(0.1);
    expect(take.truth.sensor.leverArmM[0]).toBeLessThanOrEqual(0.7);
    expect(take.truth.swings.length).toBe(2);
    for (const one of take.truth.swings) {
      expect(one.peakDps).toBeGreaterThan(149);
      expect(one.peakDps).toBeLessThan(1501);
    }
  }
});
