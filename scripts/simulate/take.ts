import type { MotionLog, Press } from '../../server/engine/base/log.ts';
import type { Choreographed } from './choreography.ts';
import { type ClockModel, type SampleTimes, STEADY_CLOCK, sampleTimes } from './clock.ts';
import { sensorFromProp } from './mounting.ts';
import { type FineMotion, GRAVITY_MPS2, runRigidBody, type Vec3Columns } from './rigidBody.ts';
import { type ChannelModel, erringRow, limitBandwidth, readAxis, type SensorModel } from './sensor.ts';
import { type Truth, trueSwings } from './truth.ts';

/** The grid on which the motion is exact, before any sensor samples it. */
const FINE_HZ = 4000;

export interface TakePlan {
  readonly rateHz: number;
  readonly sensor: SensorModel;
  readonly choreography: Choreographed;
  readonly clock?: ClockModel;
  /** Where it differs from `FINE_HZ`. */
  readonly fineHz?: number;
  /** Seed of the sensor's noise and of the clock. */
  readonly seed: number;
  readonly names?: {
    readonly file: string;
    readonly title: string;
    readonly performer: string;
    readonly drill: string;
  };
  readonly bladeLengthM?: number;
  /** What the log calls a button of the choreography; its own name where none is given. */
  readonly buttonNames?: Readonly<Record<string, string>>;
}

export interface SimulatedTake {
  /** What the sensor reads, in its own frame. */
  readonly log: MotionLog;
  readonly presses: readonly Press[];
  readonly truth: Truth;
  /** The exact motion, prop frame. */
  readonly fine: FineMotion;
  /** True instants of the rows, in seconds. */
  readonly trueS: Float64Array;
}

const NOTE =
  'Synthetic: computed by a simulation of a rigid blade with a sensor in its grip. No person and no prop was recorded.';

/** A take with all that is true of it. The same plan gives the same take, bit for bit. */
export function simulateTake(plan: TakePlan): SimulatedTake {
  const { choreography, sensor, rateHz, seed } = plan;
  const clock = plan.clock ?? STEADY_CLOCK;
  const fine = runRigidBody(
    choreography.joints,
    sensor.leverArmM,
    choreography.durationS,
    plan.fineHz ?? FINE_HZ,
  );
  const times = sampleTimes(rateHz, choreography.durationS, clock, seed * 7 + 1);
  const log = readLog(plan, fine, times);
  const toUs = (tS: number) => Math.round(tS * 1e6 * (1 + clock.skewPpm / 1e6));
  const truth = tellTruth(plan, fine, times, toUs);
  const presses = truth.presses.map(({ button, downUs, upUs }) => ({ button, downUs, upUs }));
  return { log, presses, truth, fine, trueS: times.trueS };
}

function readLog(plan: TakePlan, fine: FineMotion, times: SampleTimes): MotionLog {
  const gyro = readChannel(plan, 'gyro', fine, times);
  const accel = readChannel(plan, 'accel', fine, times);
  return {
    timeUs: times.stampUs,
    gyroXDps: gyro[0],
    gyroYDps: gyro[1],
    gyroZDps: gyro[2],
    accelXG: accel[0],
    accelYG: accel[1],
    accelZG: accel[2],
  };
}

type ThreeColumns = readonly [Float64Array, Float64Array, Float64Array];

/** One three-axis channel: turned into the sensor's axes, limited in bandwidth, sampled, and read with its faults. */
function readChannel(
  { sensor, rateHz, seed }: TakePlan,
  name: 'gyro' | 'accel',
  fine: FineMotion,
  times: SampleTimes,
): ThreeColumns {
  const isGyro = name === 'gyro';
  const motion = isGyro ? fine.rate : fine.force;
  const unit = isGyro ? 180 / Math.PI : 1 / GRAVITY_MPS2;
  const channel = sensor[name];
  const rows = sensorFromProp(sensor.mount);
  const axis = (k: 0 | 1 | 2) => {
    const values = alongAxis(motion, erringRow(rows, k, channel), unit);
    if (channel.bandwidthHz !== null) limitBandwidth(values, channel.bandwidthHz, fine.hz);
    const noiseSeed = seed * 7 + (isGyro ? 2 : 5) + k * 1000003;
    return readAxis(
      sampleAt(values, fine.hz, times.trueS, channel.delayMs ?? 0),
      k,
      channel,
      rateHz,
      noiseSeed,
    );
  };
  return [axis(0), axis(1), axis(2)];
}

function alongAxis(
  { x, y, z }: Vec3Columns,
  [rx, ry, rz]: readonly [number, number, number],
  unit: number,
): Float64Array {
  const out = new Float64Array(x.length);
  for (let i = 0; i < out.length; ++i) out[i] = (rx * x[i]! + ry * y[i]! + rz * z[i]!) * unit;
  return out;
}

/** Linear between the points of the fine grid, which every whole rate below it divides; `delayMs` after `atS`, within the motion. */
export function sampleAt(
  fine: Float64Array,
  fineHz: number,
  atS: Float64Array,
  delayMs: number,
): Float64Array {
  const out = new Float64Array(atS.length);
  for (let k = 0; k < out.length; ++k) {
    const place = Math.max(0, Math.min((atS[k]! + delayMs / 1000) * fineHz, fine.length - 1));
    const i = Math.min(Math.floor(place + 1e-6), fine.length - 2);
    out[k] = fine[i]! + Math.max(0, place - i) * (fine[i + 1]! - fine[i]!);
  }
  return out;
}

function tellTruth(
  plan: TakePlan,
  fine: FineMotion,
  times: SampleTimes,
  toUs: (tS: number) => number,
): Truth {
  const { choreography: c, sensor } = plan;
  const spanUs = (span: { startS: number; endS: number }) => ({
    startUs: toUs(span.startS),
    endUs: toUs(span.endS),
  });
  const names = plan.names ?? { file: '', title: '', performer: '', drill: '' };
  return {
    synthetic: true,
    note: NOTE,
    ...names,
    rateHz: plan.rateHz,
    durationUs: times.stampUs.at(-1)!,
    sensor: describeSensor(sensor),
    bladeLengthM: plan.bladeLengthM ?? 0.85,
    lostRows: times.lost,
    presses: c.presses.map((press) => ({
      downUs: firstRowAt(times, press.downS),
      upUs: firstRowAt(times, press.upS),
      button: plan.buttonNames?.[press.button] ?? press.button,
      intent: press.intent,
      why: press.why,
    })),
    spans: c.spans.map((span) => ({ ...spanUs(span), kind: span.kind })),
    ...trueSwings(
      fine,
      c.spans.filter((span) => span.kind === 'spinning'),
      toUs,
    ),
    thrusts: c.thrusts.map((t) => ({ ...spanUs(t), peakG: t.peakG, meetsPad: t.meetsPad })),
    hits: c.hits.map((hit) => ({ timeUs: toUs(hit.tS), peakG: hit.peakG })),
    twists: c.twists.map((t) => ({ ...spanUs(t), angleDeg: t.angleDeg })),
  };
}

/** The stamp of the first row taken at or after a moment. */
function firstRowAt(times: SampleTimes, tS: number): number {
  const k = times.trueS.findIndex((rowS) => rowS >= tS);
  if (k < 0) throw new RangeError(`a press at ${tS} s lies outside the take`);
  return times.stampUs[k]!;
}

function describeSensor(sensor: SensorModel): Truth['sensor'] {
  const range = (channel: ChannelModel) =>
    channel.codesPerUnit === null ? null : 32767 / channel.codesPerUnit;
  return {
    name: sensor.name,
    mount: sensor.mount,
    leverArmM: sensor.leverArmM,
    gyroBiasDps: sensor.gyro.bias,
    gyroDriftDpsPerMin: sensor.gyro.driftPerMin,
    accelBiasG: sensor.accel.bias,
    gyroNoiseDpsPerRootHz: sensor.gyro.noiseDensity,
    accelNoiseGPerRootHz: sensor.accel.noiseDensity,
    gyroRangeDps: range(sensor.gyro),
    accelRangeG: range(sensor.accel),
  };
}
