import type { MotionLog, UniformLog } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { estimateBias, removeBias } from '../../server/engine/calibrate/bias.ts';
import { testGravity } from '../../server/engine/calibrate/gravityTest.ts';
import { fitLeverArm } from '../../server/engine/calibrate/leverArm.ts';
import { measureRest } from '../../server/engine/check/rest.ts';
import type { ArmSensor } from '../simulate/armSensors.ts';
import { type ArmTake, armTake } from '../simulate/armTakes.ts';
import { seededRandom } from '../simulate/random.ts';
import { biasAt } from '../simulate/sensor.ts';

export const COVERAGE_KINDS = ['wrist', 'wristElbow', 'toAndFro'] as const;
export const COVERAGE_SENSORS = ['ideal', 'good', 'poor'] as const;

/** How many intervals held the truth, of how many; and how many takes gave none. */
export interface Coverage {
  held: number;
  of: number;
  unknown: number;
}

type Coverages = Readonly<Record<'slope' | 'axis slopes' | 'bias' | 'arm' | 'blade cone', Coverage>>;

/**
 * Intervals of the slopes of the gyro's axes, together and each alone, of the bias at each rest, and of the sensor's
 * position.
 */
export function measureCoverage(
  kind: (typeof COVERAGE_KINDS)[number],
  sensor: ArmSensor,
  takes: number,
  firstSeed = 9000,
): Coverages {
  const none = (): Coverage => ({ held: 0, of: 0, unknown: 0 });
  const found: Coverages = {
    slope: none(),
    'axis slopes': none(),
    bias: none(),
    arm: none(),
    'blade cone': none(),
  };
  for (let k = 0; k < takes; ++k)
    addTake(found, armTake({ kind, sensor, seed: firstSeed + k }), firstSeed + k);
  return found;
}

function addTake(found: Coverages, take: ArmTake, seed: number): void {
  const scale = take.sensor.gyro.scaleError ?? [0, 0, 0];
  addSlopes(found, take, seed);
  const { uniform } = buildTimeBase(take.log);
  addBias(found.bias, uniform, take);
  const clean = removeBias(uniform, estimateBias(uniform));
  const own = testGravity(clean);
  own.axes.forEach(({ slope }, axis) => {
    if (slope) count(found['axis slopes'], slope.low, 1 / (1 + scale[axis]!), slope.high);
    else ++found['axis slopes'].unknown;
  });
  addArm(found, clean, take);
}

/** The slope that axes share has a truth only where they share a scale: the sensor's three are made one, drawn anew. */
function addSlopes({ slope: coverage }: Coverages, { log, sensor }: ArmTake, seed: number): void {
  const common = 0.97 + 0.06 * seededRandom(seed)();
  const scale = sensor.gyro.scaleError ?? [0, 0, 0];
  const of = (rate: Float64Array, axis: 0 | 1 | 2) => rate.map((dps) => (dps * common) / (1 + scale[axis]));
  const even: MotionLog = {
    ...log,
    gyroXDps: of(log.gyroXDps, 0),
    gyroYDps: of(log.gyroYDps, 1),
    gyroZDps: of(log.gyroZDps, 2),
  };
  const { uniform } = buildTimeBase(even);
  const { slope, low, high } = testGravity(removeBias(uniform, estimateBias(uniform)));
  if (slope === null) ++coverage.unknown;
  else count(coverage, low!, 1 / common, high!);
}

function addBias(coverage: Coverage, uniform: UniformLog, { sensor }: ArmTake): void {
  const { stretches, biasHalfDps } = measureRest(uniform);
  if (stretches.length === 0) ++coverage.unknown;
  stretches.forEach(({ startUs, endUs, gyroXDps, gyroYDps, gyroZDps }, k) => {
    [gyroXDps, gyroYDps, gyroZDps].forEach((dps, axis) => {
      const half = biasHalfDps[k]![axis]!;
      count(
        coverage,
        dps - half,
        biasAt(sensor.gyro, axis as 0 | 1 | 2, (startUs + endUs) / 2e6),
        dps + half,
      );
    });
  });
}

function addArm(found: Coverages, clean: UniformLog, { sensor }: ArmTake): void {
  const fit = fitLeverArm(clean);
  const [x, y, z] = sensor.leverArmM;
  const size = Math.hypot(x, y, z);
  if (!fit) {
    ++found.arm.unknown;
    ++found['blade cone'].unknown;
    return;
  }
  count(found.arm, fit.lowM, size, fit.highM);
  const [bx, by, bz] = fit.bladeAxis;
  const offDeg = (Math.acos(Math.min(1, (bx * x + by * y + bz * z) / size)) * 180) / Math.PI;
  if (fit.coneDeg >= 180) ++found['blade cone'].unknown;
  else count(found['blade cone'], 0, offDeg, fit.coneDeg);
}

function count(coverage: Coverage, low: number, truth: number, high: number): void {
  ++coverage.of;
  if (low <= truth && truth <= high) ++coverage.held;
}
