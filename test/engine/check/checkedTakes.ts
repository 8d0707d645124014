import { expect } from 'vitest';
import { Choreography } from '../../../scripts/simulate/choreography.ts';
import { DEVICES } from '../../../scripts/simulate/demo/devices.ts';
import { carry, onStand, reversals, swing, twist } from '../../../scripts/simulate/moves.ts';
import type { SensorModel } from '../../../scripts/simulate/sensor.ts';
import { type SimulatedTake, simulateTake, type TakePlan } from '../../../scripts/simulate/take.ts';
import type { MotionLog } from '../../../server/engine/base/log.ts';
import { Scratch } from '../../../server/engine/base/scratch.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { type Calibration, DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { type CheckId, checkSignals, type SignalCheck } from '../../../server/engine/check/checkSignals.ts';
import type { ReadFacts } from '../../../server/engine/check/input.ts';
import { computeMotion, computeSensedMotion } from '../../../server/engine/motion/motion.ts';
import { type WordedLine, wordedLine } from '../../../server/engine/words/check/check.ts';

export const ARM_M = 0.32;
const MOUNT = { tip: '+x', side: '+y' } as const;

/** A sound sensor: its range holds all that these takes do. */
export function sensor(changes: Partial<SensorModel['gyro']> = {}, leverArmM = ARM_M): SensorModel {
  const { gyro, accel } = DEVICES.wide;
  return { name: 'wide', leverArmM: [leverArmM, 0, 0], mount: MOUNT, gyro: { ...gyro, ...changes }, accel };
}

/** Rest, swings there and back in several planes of the earth and of the sensor, a carry, twists, rest: half a minute that has all a check asks for. */
export function drill(peakDps = 700): Choreography {
  const c = new Choreography(5);
  c.startAt({ heading: 40, tilt: -25, bank: 20 });
  onStand(c, 4);
  c.takeInHand();
  c.wait(1);
  for (const [heading, bank, turned] of [
    [40, 20, 0],
    [-60, 70, 80],
    [110, -50, -50],
  ] as const) {
    c.moveTo({ heading, bank, twist: turned }, 1.2);
    c.marked('spinning', () => reversals(c, (peakDps * 0.36) / 1.875, 0.36, 6));
    c.wait(0.5);
  }
  carry(c, 3);
  twist(c, 90, 0.5);
  twist(c, -90, 0.5);
  for (let k = 0; k < 4; ++k) {
    swing(c, ((k % 2 === 0 ? 1 : -1) * peakDps * 0.3) / 1.875, 0.3);
    c.wait(0.6);
  }
  c.moveTo({ heading: 40, tilt: -25, bank: 20, twist: 0 }, 1.5);
  c.putDown();
  onStand(c, 3);
  return c;
}

export function take(plan: Partial<TakePlan> & { peakDps?: number } = {}): SimulatedTake {
  const { peakDps, ...rest } = plan;
  return simulateTake({
    rateHz: 200,
    sensor: sensor(),
    choreography: drill(peakDps).finish(),
    seed: 9,
    ...rest,
  });
}

const CLOCKED = [{ role: 'time', unit: 's' }];

export function check(
  log: MotionLog,
  changes: { facts?: Partial<ReadFacts>; calibration?: Partial<Calibration> } = {},
  tell?: (part: number) => void,
): SignalCheck {
  const calibration = { ...DEFAULT_CALIBRATION, leverArmM: ARM_M, ...changes.calibration };
  const saturated = new Uint8Array(log.timeUs.length);
  const { uniform } = buildTimeBase(log, saturated);
  const input = {
    raw: log,
    saturated,
    uniform,
    motion: computeMotion(uniform, calibration),
    calibration,
    facts: {
      rows: log.timeUs.length,
      duplicates: 0,
      backwards: 0,
      badRowCount: 0,
      columns: CLOCKED,
      ...changes.facts,
    },
  };
  return checkSignals(input, tell);
}

/** A check whose own columns lie where the rates of its motion did finds what any other finds, and leaves the log as it is. */
export function expectSameInOneScratch(raw: MotionLog, calibration: Calibration): SignalCheck {
  const saturated = new Uint8Array(raw.timeUs.length);
  const { uniform } = buildTimeBase(raw, saturated);
  const before = structuredClone({ raw, uniform });
  const facts = { rows: raw.timeUs.length, duplicates: 0, backwards: 0, badRowCount: 0, columns: CLOCKED };
  const input = { raw, saturated, uniform, calibration, facts };
  const plain = checkSignals({ ...input, motion: computeSensedMotion(uniform, calibration) });
  const scratch = new Scratch();
  const motion = computeSensedMotion(uniform, calibration, scratch);
  expect(checkSignals({ ...input, motion }, () => {}, scratch)).toEqual(plain);
  expect({ raw, uniform }).toEqual(before);
  return plain;
}

export function lineOf(checked: SignalCheck, id: CheckId): WordedLine {
  return wordedLine(checked.lines.find((line) => line.id === id)!);
}

/** The lines that are no pass, as `id: state`. */
export function complaints({ lines }: SignalCheck): string[] {
  return lines.filter(({ state }) => state !== 'pass').map(({ id, state }) => `${id}: ${state}`);
}

/** A log whose columns are changed one by one. */
export function mapColumns(
  log: MotionLog,
  change: (column: Float64Array, key: keyof MotionLog) => Float64Array,
): MotionLog {
  const entries = Object.entries(log).map(([key, column]) => [
    key,
    change(column as Float64Array, key as keyof MotionLog),
  ]);
  return Object.fromEntries(entries) as unknown as MotionLog;
}
