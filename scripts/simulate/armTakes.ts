import { Arm, type ArmTurn } from './arm.ts';
import { type ArmSensor, armSensor } from './armSensors.ts';
import { Choreography } from './choreography.ts';
import { knock, thrust } from './contact.ts';
import { onStand } from './moves.ts';
import { minimumJerk, type Piece, wave } from './piece.ts';
import { GRAVITY_MPS2, type Vec3Columns } from './rigidBody.ts';
import { biasAt, type SensorModel } from './sensor.ts';
import { type SimulatedTake, sampleAt, simulateTake } from './take.ts';

/**
 * What the arm does. `wrist`: swings about a wrist at rest. `wristElbow`, `threeJoints`: wrist and elbow, and the shoulder
 * too, turn together, the wrist cocked. `toAndFro`: about one point, without a stop, as a metronome goes. `slippingGrip`:
 * as `wristElbow`, and the prop slips in the hand at every swing. `thrusts`: nothing but thrusts and the swings between.
 */
export const ARM_KINDS = [
  'wrist',
  'wristElbow',
  'threeJoints',
  'toAndFro',
  'slippingGrip',
  'thrusts',
] as const;
export type ArmKind = (typeof ARM_KINDS)[number];

/** Half of what other takes have: a shock of 4 ms still spans eight steps, and a bench simulates hundreds. */
const FINE_HZ = 2000;

interface ArmTakeOptions {
  readonly kind: ArmKind;
  readonly sensor: ArmSensor;
  readonly seed: number;
  /** 100 where none is given. */
  readonly rateHz?: number;
  /** Thrusts among the swings, every second one into a pad; where none is given 8 for `thrusts`, 0 for every other kind. */
  readonly thrusts?: number;
  /** Whether some swings are parries that meet another blade, and some are quick and stopped short so that the arm rings; false where none is given. */
  readonly blows?: boolean;
  /** Sets of swings, 3 where none is given. */
  readonly sets?: number;
}

export interface ArmTake extends SimulatedTake {
  /** From the wrist (of `toAndFro`: the turning point) to the sensor; the forearm; the upper arm. */
  readonly arm: { readonly leverArmM: number; readonly foreM: number; readonly upperM: number };
  readonly sensor: SensorModel;
}

/** A take of half a minute: on the stand, in the hand, sets of swings, back on the stand. Same options, same take. */
export function armTake(options: ArmTakeOptions): ArmTake {
  const { kind, seed } = options;
  const c = new Choreography(seed);
  const lengths = { foreM: c.between(0.24, 0.29), upperM: c.between(0.26, 0.32) };
  const leverArmM = kind === 'toAndFro' ? c.between(0.15, 0.4) : c.between(0.08, 0.2);
  const stand = { heading: c.between(-180, 180), tilt: c.between(-8, 8), bank: c.between(0, 90) };
  c.startAt(stand);
  onStand(c, 2.5);
  c.takeInHand();
  const thrusts = options.thrusts ?? (kind === 'thrusts' ? 8 : 0);
  const sets = options.sets ?? 3;
  for (let k = 0; k < sets; ++k) {
    c.moveTo(
      { heading: c.between(-60, 60), tilt: c.between(-40, 40), bank: c.between(-90, 90), twist: 0 },
      1.5,
    );
    held(c, c.between(0.7, 1.6));
    const arm = new Arm(c, lengths, poseBehind(c, c.between(60, 110)));
    const from = Math.floor((k * thrusts) / sets);
    const to = Math.floor(((k + 1) * thrusts) / sets);
    c.marked('spinning', () => swingSet(c, options, arm));
    for (let t = from; t < to; ++t) {
      // some thrusts follow a swing closely, as a stage fight has them
      c.wait(t % 4 < 2 ? c.between(0.2, 0.4) : c.between(0.6, 1));
      armThrust(c, t);
      if (kind === 'thrusts') swingPair(c, options, arm);
    }
    held(c, c.between(0.7, 1.6));
  }
  c.moveTo({ ...stand, swing: 0, lift: 0, twist: 0 }, 1.8);
  c.wait(0.3);
  c.putDown();
  onStand(c, 2);
  const sensor = armSensor(options.sensor, [leverArmM, 0.003, -0.004], seed * 31 + 7);
  const rateHz = options.rateHz ?? 100;
  const take = simulateTake({ rateHz, fineHz: FINE_HZ, sensor, choreography: c.finish(), seed });
  return { ...take, arm: { leverArmM, ...lengths }, sensor };
}

/** Held still in the hand, as far as a hand can: no rest on a stand. */
function held(c: Choreography, durationS: number): void {
  c.marked('held', () => c.wait(durationS));
}

/** The forearm so that the blade is cocked against it by `cockedDeg`, and the upper arm hanging back. */
function poseBehind(c: Choreography, cockedDeg: number): { upperDeg: number; foreDeg: number } {
  const foreDeg = c.joints.swing.settled() - cockedDeg;
  return { foreDeg, upperDeg: foreDeg - c.between(40, 80) };
}

function swingSet(c: Choreography, options: ArmTakeOptions, arm: Arm): void {
  const { kind } = options;
  if (kind === 'toAndFro') {
    metronome(c);
    return;
  }
  const pairs = kind === 'thrusts' ? 1 : 4;
  for (let k = 0; k < pairs; ++k) swingPair(c, options, arm);
}

/** About one point, by 40 to 75 degrees either side, 0.6 to 1.3 times a second, for six to nine seconds. */
function metronome(c: Choreography): void {
  const durationS = c.between(6, 9);
  const uneven = { wobbleRad: c.between(0.1, 0.4), wobbleHz: c.between(0.12, 0.2) };
  const hz = c.between(0.6, 1.3);
  c.add('swing', wave(c.nowS, durationS, 0.8, { amplitude: c.between(40, 75), hz, ...uneven }));
  c.wait(durationS);
}

/** A swing out and one back, at once or after a moment's stop. */
function swingPair(c: Choreography, options: ArmTakeOptions, arm: Arm): void {
  const out = drawTurn(c, options);
  swingOnce(c, options, arm, out);
  if (c.between(0, 1) < 0.6) c.wait(c.between(0.05, 0.5));
  const back = { ...drawTurn(c, options), ...negative(out) };
  swingOnce(c, options, arm, back);
  c.wait(c.between(0.05, 0.6));
}

function drawTurn(c: Choreography, { kind, blows }: ArmTakeOptions): ArmTurn {
  const isQuick = blows === true && c.between(0, 1) < 0.3;
  const durationS = isQuick ? c.between(0.17, 0.24) : c.between(0.24, 0.45);
  // of a joint's own turn: 45 degrees in 0.3 s peak at 280 deg/s
  const elbowDeg = kind === 'wrist' ? 0 : c.between(25, 60);
  return {
    shoulderDeg: kind === 'threeJoints' ? c.between(10, 30) : 0,
    elbowDeg,
    wristDeg: kind === 'wrist' ? c.between(70, 150) : c.between(40, 100),
    durationS,
    lagS: kind === 'wrist' ? 0 : c.between(0, 0.25) * durationS,
  };
}

function negative({ shoulderDeg, elbowDeg, wristDeg }: ArmTurn) {
  return { shoulderDeg: -shoulderDeg, elbowDeg: -elbowDeg, wristDeg: -wristDeg };
}

/** A swing, with what no hand leaves out: the blade leaves its plane a little and turns about itself. */
function swingOnce(c: Choreography, { kind, blows }: ArmTakeOptions, arm: Arm, turn: ArmTurn): void {
  const startS = c.nowS;
  const middleS = arm.turn(turn);
  const lastS = c.nowS - startS;
  c.add('lift', wave(startS, lastS, lastS / 2, { amplitude: c.between(2, 8), hz: 0.5 / lastS }));
  c.add('twist', wave(startS, lastS, lastS / 2, { amplitude: c.between(3, 12), hz: 0.5 / lastS }));
  if (kind === 'slippingGrip') slip(c, middleS);
  if (blows !== true) return;
  const what = c.between(0, 1);
  if (what < 0.3) knock(c, middleS + c.between(0, 0.2) * lastS, -Math.sign(turn.wristDeg) * c.between(5, 11));
  else if (what < 0.6) ring(c);
}

/** A swing stopped short: the arm springs back and forth as it comes to rest. */
function ring(c: Choreography): void {
  const [hz, atS] = [c.between(14, 20), c.nowS - 0.05];
  for (const joint of ['swing', 'lift'] as const) {
    c.add(joint, wave(atS, 0.25, 0.07, { amplitude: c.between(0.15, 0.5), hz }));
  }
}

/** The prop slips out along the blade by 5 to 20 mm and about itself by 2 to 8 degrees, at the swing's fastest, and is taken back. */
function slip(c: Choreography, atS: number): void {
  const [outS, backS] = [c.between(0.07, 0.12), c.between(0.3, 0.5)];
  const there = (delta: number): Piece[] => [
    minimumJerk(atS, outS, delta),
    minimumJerk(atS + outS + 0.05, backS, -delta),
  ];
  for (const piece of there(c.between(0.005, 0.02))) c.add('slip', piece);
  for (const piece of there(c.between(2, 8))) c.add('twist', piece);
}

/** A thrust of the arm: the blade wanders from its line by up to some degrees, as elbow and wrist straighten. */
function armThrust(c: Choreography, k: number): void {
  const driveS = c.between(0.1, 0.15);
  const wander = () =>
    wave(c.nowS, driveS + 0.3, (driveS + 0.3) / 2, { amplitude: c.between(-5, 5), hz: 1.5 });
  c.add('swing', wander());
  c.add('lift', wander());
  thrust(c, {
    driveG: c.between(1.6, 3.2),
    driveS,
    padG: k % 2 === 0 ? c.between(6, 12) : null,
  });
}

/** What is true at each row of the log, prop frame: no fault of any sensor is in it. */
interface RowTruth {
  /** Acceleration of the turning point, less gravity, in g; along the blade it is the true thrust. */
  readonly handXG: Float64Array;
  readonly handYG: Float64Array;
  readonly handZG: Float64Array;
  readonly rateXDps: Float64Array;
  readonly rateYDps: Float64Array;
  readonly rateZDps: Float64Array;
  /** Specific force at rest: a unit vector that points up. */
  readonly gravityXG: Float64Array;
  readonly gravityYG: Float64Array;
  readonly gravityZG: Float64Array;
}

export function rowTruth({ fine, trueS }: SimulatedTake): RowTruth {
  const at = (column: Float64Array, unit: number) =>
    sampleAt(column, fine.hz, trueS, 0).map((value) => value * unit);
  const up = upInProp(fine.q);
  const dps = 180 / Math.PI;
  return {
    handXG: at(fine.hand.x, 1 / GRAVITY_MPS2),
    handYG: at(fine.hand.y, 1 / GRAVITY_MPS2),
    handZG: at(fine.hand.z, 1 / GRAVITY_MPS2),
    rateXDps: at(fine.rate.x, dps),
    rateYDps: at(fine.rate.y, dps),
    rateZDps: at(fine.rate.z, dps),
    gravityXG: at(up.x, 1),
    gravityYG: at(up.y, 1),
    gravityZG: at(up.z, 1),
  };
}

/** The third row of the turn from prop to earth. */
function upInProp({ w, x, y, z }: SimulatedTake['fine']['q']): Vec3Columns {
  return {
    x: x.map((value, i) => 2 * (value * z[i]! - w[i]! * y[i]!)),
    y: y.map((value, i) => 2 * (value * z[i]! + w[i]! * x[i]!)),
    z: z.map((value, i) => w[i]! ** 2 - x[i]! ** 2 - y[i]! ** 2 + value ** 2),
  };
}

/** The gyro's true bias at a moment of the take, sensor frame, in deg/s. */
export function trueGyroBiasDps({ sensor }: ArmTake, tS: number): [number, number, number] {
  return [biasAt(sensor.gyro, 0, tS), biasAt(sensor.gyro, 1, tS), biasAt(sensor.gyro, 2, tS)];
}
