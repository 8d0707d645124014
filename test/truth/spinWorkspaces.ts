import { Choreography } from '../../scripts/simulate/choreography.ts';
import { DEVICES } from '../../scripts/simulate/demo/devices.ts';
import { loopingEight, lyingEight, onStand, reversals, swing } from '../../scripts/simulate/moves.ts';
import { type SimulatedTake, simulateTake } from '../../scripts/simulate/take.ts';
import { seededRandom } from '../seeded.ts';

export const WORKSPACE_SEEDS = Array.from({ length: 20 }, (_, k) => k + 1);

const SENSORS = [
  ['small', 100],
  ['slim', 200],
  ['wide', 500],
  ['wide', 1000],
] as const;

type Style = (c: Choreography) => void;

/** Straight back along one plane, slow (330 deg/s) to fast (900). */
const wall: Style = (c) => {
  const durationS = c.between(0.34, 0.46);
  reversals(c, (c.between(330, 900) * durationS) / 1.875, durationS, 7);
};

/** Never stops; some 140 deg/s at its ends. */
const eight: Style = (c) => {
  const hz = c.between(0.8, 1.1);
  const azimuthDeg = c.between(60, 75);
  lyingEight(c, { azimuthDeg, elevationDeg: c.between(11, 15), hz, durationS: 4, rampS: 0.45 });
};

/** Round one way, then the other. */
const loops: Style = (c) => {
  loopingEight(c, { dps: c.between(560, 900), durationS: 1.6 });
  loopingEight(c, { dps: -c.between(560, 900), durationS: 1.6 });
};

/** From stop to stop, each on in the direction of the last. */
const onward: Style = (c) => {
  for (let k = 0; k < 6; ++k) {
    const durationS = c.between(0.34, 0.46);
    swing(c, (c.between(400, 800) * durationS) / 1.875, durationS);
  }
};

const STYLES: readonly Style[] = [wall, eight, loops, onward];

/** Two takes that differ in rate, sensor and hands; each holds two spins of different style, with a stop between. */
export function spinWorkspace(seed: number): SimulatedTake[] {
  const random = seededRandom(seed);
  const firstStyle = seed % STYLES.length;
  const firstSensor = Math.floor(random() * SENSORS.length);
  return [0, 1].map((k) => {
    const [device, rateHz] = SENSORS[(firstSensor + k * (1 + (seed % 3))) % SENSORS.length]!;
    const styles = [STYLES[(firstStyle + k) % STYLES.length]!, STYLES[(firstStyle + k + 2) % STYLES.length]!];
    const sensor = {
      name: device,
      leverArmM: [0.1 + 0.2 * random(), 0, 0] as const,
      mount: { tip: '-z', side: '+x' } as const,
      ...DEVICES[device],
    };
    const choreography = spins(seed * 100 + k, styles, random);
    return simulateTake({ rateHz, sensor, choreography, seed: seed * 100 + k });
  });
}

function spins(seed: number, styles: readonly Style[], random: () => number) {
  const c = new Choreography(seed, { tremorDps: 1.5 + 2 * random(), spread: 0.05 + 0.07 * random() });
  c.startAt({ heading: c.between(-90, 90), tilt: c.between(-20, 20), bank: 90, swing: c.between(-20, 20) });
  onStand(c, 1);
  c.takeInHand();
  c.wait(0.8);
  for (const style of styles) {
    c.marked('spinning', () => style(c));
    c.wait(c.between(0.9, 1.3));
  }
  return c.finish();
}
