import { type Choreographed, Choreography } from './choreography.ts';
import { DEVICES } from './demo/devices.ts';
import { loopingEight, lyingEight, onStand, reversals } from './moves.ts';
import { seededRandom } from './random.ts';
import { type SimulatedTake, simulateTake } from './take.ts';

const RATES_HZ = [100, 200, 500] as const;
const SENSORS = ['slim', 'wide', 'small'] as const;

/**
 * Takes that differ in rate, sensor and hands, each with spins of three kinds, stray presses in them and wanted ones
 * after their stops.
 * @param wantedAfterS  how long after a stop the wanted presses come.
 */
export function simulateWorkspace(
  seed: number,
  {
    takes = 2,
    wantedAfterS = [0.4, 0.9],
  }: { readonly takes?: number; readonly wantedAfterS?: readonly [number, number] } = {},
): SimulatedTake[] {
  const random = seededRandom(seed);
  return Array.from({ length: takes }, (_, k) => {
    const takeSeed = seed * 100 + k;
    const choreography = choreographed(takeSeed, wantedAfterS);
    const pick = <T>(list: readonly T[]) => list[Math.floor(random() * list.length)]!;
    const sensor = {
      name: 'any',
      leverArmM: [0.1 + 0.1 * random(), 0, 0] as const,
      mount: { tip: '+y', side: '-x' } as const,
      ...DEVICES[pick(SENSORS)],
    };
    return simulateTake({ rateHz: pick(RATES_HZ), sensor, choreography, seed: takeSeed });
  });
}

function choreographed(seed: number, [soonS, lateS]: readonly [number, number]): Choreographed {
  const c = new Choreography(seed, { tremorDps: 2.5, spread: 0.1 });
  const ready = { heading: 0, tilt: 0, bank: 90, swing: 20 };
  c.startAt(ready);
  onStand(c, 2);
  c.takeInHand();
  c.wait(0.6);
  c.press('power', c.nowS, 'wanted', 'at rest');
  c.wait(0.8);
  for (const spin of [wall, eight, loops]) {
    spin(c);
    c.press('power', c.nowS + c.between(soonS, lateS), 'wanted', 'after a stop');
    c.wait(1.5);
    c.moveTo(ready, 1);
    c.wait(0.4);
  }
  c.wait(0.5);
  return c.finish();
}

function wall(c: Choreography): void {
  const turns = c.marked('spinning', () => reversals(c, c.between(130, 170), c.between(0.38, 0.46), 8));
  c.press('power', turns[2]! + c.between(-0.02, 0.05), 'stray', 'at a turn');
  c.press('power', turns[5]! + c.between(-0.2, 0.2), 'stray', 'anywhere in the spin');
}

function eight(c: Choreography): void {
  c.moveTo({ bank: 0, tilt: -10, swing: 0 }, 1);
  const startS = c.nowS;
  const shape = { azimuthDeg: c.between(62, 76), elevationDeg: 15, hz: c.between(0.85, 1), durationS: 5 };
  const ends = lyingEight(c, { ...shape, rampS: 0.45 });
  c.mark('spinning', startS + 0.25, c.nowS - 0.25);
  c.press('power', ends[3]! + c.between(-0.02, 0.05), 'stray', 'at an end of the eight');
}

function loops(c: Choreography): void {
  c.moveTo({ bank: 90, tilt: 0, swing: 0 }, 1);
  c.marked('spinning', () => {
    loopingEight(c, { dps: c.between(560, 700), durationS: 2.2 });
    c.press('power', c.nowS + c.between(-0.05, 0.05), 'stray', 'as it turns round');
    loopingEight(c, { dps: -c.between(560, 700), durationS: 2.2 });
  });
}
