import { Choreography } from '../../../scripts/simulate/choreography.ts';
import { DEVICES } from '../../../scripts/simulate/demo/devices.ts';
import { loopingEight, lyingEight, onStand, reversals } from '../../../scripts/simulate/moves.ts';
import { type SimulatedTake, simulateTake } from '../../../scripts/simulate/take.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/candidateRules.ts';
import { computeRateMotion, speedSignals } from '../../../server/engine/choose/rateMotion.ts';
import type { ChoiceTake } from '../../../server/engine/choose/takeSweep.ts';
import type { Motion } from '../../../server/engine/motion/motion.ts';
import { buildTimeBase } from '../../../server/engine/timeBase.ts';
import type { Labels } from '../../../server/engine/truth/labels.ts';
import { findTruth } from '../../../server/engine/truth/truth.ts';
import { seededRandom } from '../../seeded.ts';

/** A simulated take with what choosing needs of it. */
export interface WorkspaceTake extends ChoiceTake {
  readonly simulated: SimulatedTake;
  readonly motion: Motion;
}

const RATES_HZ = [100, 200, 500] as const;
const SENSORS = ['slim', 'wide', 'small'] as const;

/** Takes of one or two performers, each with spins of several kinds, stray presses in them and wanted ones after stops. */
export function randomWorkspace(seed: number, takes = 2): WorkspaceTake[] {
  const random = seededRandom(seed);
  return Array.from({ length: takes }, (_, k) => {
    const takeSeed = seed * 100 + k;
    const choreography = choreographed(takeSeed);
    const pick = <T>(list: readonly T[]) => list[Math.floor(random() * list.length)]!;
    const sensor = {
      name: 'any',
      leverArmM: [0.1 + 0.1 * random(), 0, 0] as const,
      mount: { tip: '+y', side: '-x' } as const,
      ...DEVICES[pick(SENSORS)],
    };
    const simulated = simulateTake({ rateHz: pick(RATES_HZ), sensor, choreography, seed: takeSeed });
    return seen(`take ${k + 1}`, k === 0 ? 'first' : 'second', simulated);
  });
}

export function seen(id: string, performer: string, simulated: SimulatedTake): WorkspaceTake {
  const calibration = {
    ...DEFAULT_CALIBRATION,
    mount: simulated.truth.sensor.mount as typeof DEFAULT_CALIBRATION.mount,
  };
  const motion = computeRateMotion(buildTimeBase(simulated.log).uniform, calibration);
  const labels = labelsOf(simulated);
  return {
    id,
    title: id,
    performer,
    signals: speedSignals(motion, DEFAULT_CANDIDATE.smoothing),
    presses: simulated.presses,
    labels,
    truth: findTruth(motion, labels),
    simulated,
    motion,
  };
}

function labelsOf({ truth }: SimulatedTake): Labels {
  const by = 'simulation' as const;
  return {
    presses: truth.presses.map(({ downUs, button, intent }) => ({ downUs, button, intent, by })),
    spans: truth.spans.map((span) => ({ ...span, by })),
    swings: [],
  };
}

function choreographed(seed: number) {
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
    c.press('power', c.nowS + c.between(0.4, 0.9), 'wanted', 'after a stop');
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

/** By the exact motion: how long before each press the blade last was at or above a speed; Infinity where it never was. */
export function trueLagsS(
  { simulated }: WorkspaceTake,
  speedDps: number,
): { intent: string; lagS: number }[] {
  const { fine, truth } = simulated;
  return truth.presses.map(({ downUs, intent }) => {
    const at = Math.min(fine.length - 1, Math.floor((downUs / 1e6) * fine.hz));
    for (let i = at; i >= 0; --i)
      if (exactSpeedDps(simulated, i) >= speedDps) return { intent, lagS: (at - i) / fine.hz };
    return { intent, lagS: Infinity };
  });
}

/** By the exact motion: for how long the speed stays below about each reversal; Infinity where it was not there before. */
export function trueDipsS({ simulated }: WorkspaceTake, speedDps: number): number[] {
  const { fine, truth } = simulated;
  return truth.reversals.map(({ timeUs }) => {
    const middle = Math.round((timeUs / 1e6) * fine.hz);
    let from = middle;
    while (from >= 0 && exactSpeedDps(simulated, from) < speedDps) --from;
    let to = middle;
    while (to < fine.length && exactSpeedDps(simulated, to) < speedDps) ++to;
    return from < 0 || to >= fine.length ? Infinity : (to - from) / fine.hz;
  });
}

function exactSpeedDps({ fine }: SimulatedTake, i: number): number {
  return (Math.hypot(fine.rate.y[i]!, fine.rate.z[i]!) * 180) / Math.PI;
}
