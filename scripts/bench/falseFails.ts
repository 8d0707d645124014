import type { MotionLog } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { type CheckLine, checkSignals } from '../../server/engine/check/checkSignals.ts';
import { computeMotion } from '../../server/engine/motion/motion.ts';
import { wordedLine } from '../../server/engine/words/check/check.ts';
import type { ArmSensor } from '../simulate/armSensors.ts';
import { ARM_KINDS, armTake } from '../simulate/armTakes.ts';
import { seededNormal } from '../simulate/random.ts';
import { COVERAGE_SENSORS } from './coverageTakes.ts';
import type { Print } from './pair.ts';

/** One take of each kind of motion with each sensor for every seed. */
const SEEDS = Array.from({ length: 15 }, (_, k) => 6000 + k);
const METRONOMES_HZ = [0.5, 0.6, 0.7, 0.8, 1];
const ANGLES_DEG = [30, 50, 70];
const ARMS_M = [0.15, 0.3];

const G_MPS2 = 9.80665;
const RAD_PER_DEG = Math.PI / 180;

interface CheckedTakes {
  readonly takes: number;
  /** The failed lines of takes that nothing was done to, each with its take. */
  readonly failed: readonly string[];
  /** How many takes each line cautions. */
  readonly cautions: ReadonlyMap<string, number>;
}

interface NamedLog {
  readonly name: string;
  readonly log: MotionLog;
}

/**
 * The whole signal check on takes whose clocks are even, ranges wide enough, units and axes right: any line that fails is
 * false.
 */
export function findFalseFails(logs: Iterable<NamedLog>): CheckedTakes {
  const failed: string[] = [];
  const cautions = new Map<string, number>();
  let takes = 0;
  for (const { name, log } of logs) {
    ++takes;
    for (const line of checkUncalibrated(log).map(wordedLine)) {
      if (line.state === 'fail') failed.push(`${name}: ${line.name}: ${line.finding}`);
      if (line.state === 'caution') cautions.set(line.name, (cautions.get(line.name) ?? 0) + 1);
    }
  }
  return { takes, failed, cautions };
}

export function benchFalseFails(print: Print): void {
  const logs = [...COVERAGE_SENSORS.map((sensor) => armLogs(sensor, SEEDS)), metronomeLogs(METRONOMES_HZ)];
  const { takes, failed, cautions } = findFalseFails(chained(logs));
  print(`${failed.length} false fails in ${takes} takes`);
  for (const words of failed) print(words);
  print(`cautions: ${[...cautions].map(([name, count]) => `${name} ${count}`).join(', ')}`);
}

/** Every kind of motion; a seed that is odd has blows, one that three divides has 200 Hz instead of 100. */
export function* armLogs(sensor: ArmSensor, seeds: readonly number[]): Generator<NamedLog> {
  for (const kind of ARM_KINDS) {
    for (const seed of seeds) {
      const [rateHz, blows] = [seed % 3 === 0 ? 200 : 100, seed % 2 === 1];
      const name = `${kind}, ${sensor}, seed ${seed}, ${rateHz} Hz${blows ? ', blows' : ''}`;
      yield { name, log: armTake({ kind, sensor, seed, rateHz, blows }).log };
    }
  }
}

/** A perfect gyro that swings as a metronome, at several angles and arms. */
export function* metronomeLogs(beatsHz: readonly number[]): Generator<NamedLog> {
  for (const deg of ANGLES_DEG)
    for (const hz of beatsHz)
      for (const armM of ARMS_M)
        yield { name: `metronome, ${deg}°, ${hz} Hz, ${armM} m`, log: metronomeLog(deg, hz, armM) };
}

function* chained<T>(parts: Iterable<Iterable<T>>): Generator<T> {
  for (const part of parts) yield* part;
}

function checkUncalibrated(log: MotionLog): readonly CheckLine[] {
  const rows = log.timeUs.length;
  const saturated = new Uint8Array(rows);
  const { uniform } = buildTimeBase(log, saturated);
  const columns = [{ role: 'time', unit: 's' }];
  return checkSignals({
    raw: log,
    saturated,
    uniform,
    motion: computeMotion(uniform, DEFAULT_CALIBRATION),
    calibration: null,
    facts: { rows, duplicates: 0, backwards: 0, badRowCount: 0, columns },
  }).lines;
}

/** Half a minute of a sine about a level axis, upright in the middle, from its first row to its last: no rest. */
function metronomeLog(deg: number, hz: number, armM: number): MotionLog {
  const [rateHz, w] = [200, 2 * Math.PI * hz];
  const normal = seededNormal(deg * 100 + hz * 10 + armM);
  const column = (of: (tS: number) => number, noise: number) =>
    Float64Array.from({ length: 30 * rateHz }, (_, n) => of(n / rateHz) + noise * normal());
  const angle = (tS: number) => deg * RAD_PER_DEG * Math.sin(w * tS);
  const rate = (tS: number) => deg * RAD_PER_DEG * w * Math.cos(w * tS);
  const turning = (tS: number) => -deg * RAD_PER_DEG * w * w * Math.sin(w * tS);
  return {
    timeUs: Float64Array.from({ length: 30 * rateHz }, (_, n) => Math.round((n * 1e6) / rateHz)),
    gyroXDps: column(() => 0, 0.05),
    gyroYDps: column(() => 0, 0.05),
    gyroZDps: column((tS) => rate(tS) / RAD_PER_DEG, 0.05),
    accelXG: column((tS) => Math.cos(angle(tS)) - (armM * rate(tS) ** 2) / G_MPS2, 0.002),
    accelYG: column((tS) => -Math.sin(angle(tS)) + (armM * turning(tS)) / G_MPS2, 0.002),
    accelZG: column(() => 0, 0.002),
  };
}
