import { Choreography } from './choreography.ts';
import { onStand, swing } from './moves.ts';
import { seededRandom } from './random.ts';
import { idealSensor, type SensorModel } from './sensor.ts';
import { type SimulatedTake, simulateTake } from './take.ts';

interface RandomTakeLimits {
  readonly count: number;
  readonly seed: number;
  readonly rateHz: number;
  /** Along the blade, from the turning point to the sensor. */
  readonly leverArmM: readonly [number, number];
  readonly peakDps: readonly [number, number];
  readonly swings: number;
  /** What the sensor is besides its lever arm. */
  readonly sensor?: (leverArmM: number) => SensorModel;
}

/** No hand swings a blade from rest to rest in less. */
const SWING_S = [0.2, 0.5] as const;

/**
 * Many short takes of single swings about a turning point at rest, each with its own lever arm, poses and peaks:
 * two seconds on the stand, then minimum-jerk swings with a moment's stop between.
 */
export function randomTakes(limits: RandomTakeLimits): SimulatedTake[] {
  const random = seededRandom(limits.seed);
  const between = ([low, high]: readonly [number, number]) => low + (high - low) * random();
  const sensor = limits.sensor ?? ((leverArmM) => idealSensor([leverArmM, 0, 0]));
  return Array.from({ length: limits.count }, (_, k) => {
    const seed = limits.seed * 1000 + k;
    const c = new Choreography(seed, { tremorDps: 0, tremorMps2: 0, swayDeg: 0 });
    c.startAt({ heading: between([-180, 180]), tilt: between([-60, 60]), bank: between([-90, 90]) });
    onStand(c, 2);
    for (let s = 0; s < limits.swings; ++s) {
      const durationS = between(SWING_S);
      const deg = (between(limits.peakDps) * durationS) / 1.875;
      swing(c, s % 2 === 0 ? deg : -deg, durationS, 0);
      c.wait(between([0.3, 0.6]));
    }
    c.wait(0.5);
    return simulateTake({
      rateHz: limits.rateHz,
      sensor: sensor(between(limits.leverArmM)),
      choreography: c.finish(),
      seed,
    });
  });
}
