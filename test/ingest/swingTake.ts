import { seededNormal } from '../seeded.ts';

type Vector = readonly [number, number, number];

/** One sample of a prop that is swung: what each sensor on it would read. */
export interface SwungSample {
  readonly t: number;
  /** deg/s */
  readonly rate: Vector;
  /** g, with gravity and the swing's pull. */
  readonly force: Vector;
  /** g, what an observer who knows the attitude would take out of the force. */
  readonly gravity: Vector;
  /** A field of length 1 that does not point along gravity. */
  readonly field: Vector;
}

const STANDARD_GRAVITY_MPS2 = 9.80665;
/** From the point that the prop turns about to the sensor, m. */
const ARM: Vector = [0.22, 0.01, 0];
const FIELD: Vector = [0.5, 0, -Math.sqrt(0.75)];
const REST_S = 2;
const SWING_S = 4;
const PAUSE_S = 0.8;
const HALF_RAD = 1.2;
const SWING_HZ = 0.9;
/** Unit axes of the swings, in the sensor's frame: mostly y, as a blade along x is swung. */
const AXES: readonly Vector[] = [
  [0.1, 0.99, 0.1],
  [0.3, 0.1, 0.95],
  [0, 0.96, -0.28],
];

/** Rest, then swings about three axes with pauses, then rest: about 17 s. @param held  rad about y at first, so that gravity lies on no axis */
export function swingTake(rateHz: number, seed = 1, held = 0.5): SwungSample[] {
  const normal = seededNormal(seed);
  const samples: SwungSample[] = [];
  let start = rotation([0, 1, 0], held);
  const rows = (seconds: number) => Math.round(seconds * rateHz);
  const add = (attitude: Matrix, speed: number, turn: number, axis: Vector) =>
    samples.push(sense(samples.length / rateHz, attitude, scaled(axis, speed), scaled(axis, turn), normal));
  for (let i = 0; i < rows(REST_S); ++i) add(start, 0, 0, AXES[0]!);
  for (const raw of AXES) {
    const axis = scaled(raw, 1 / Math.hypot(...raw));
    for (let i = 0; i < rows(SWING_S); ++i) {
      const [angle, speed, turn] = swing(i / rateHz);
      add(times(start, rotation(axis, angle)), speed, turn, axis);
    }
    start = times(start, rotation(axis, swing(SWING_S)[0]));
    for (let i = 0; i < rows(PAUSE_S); ++i) add(start, 0, 0, axis);
  }
  for (let i = 0; i < rows(REST_S); ++i) add(start, 0, 0, AXES[0]!);
  return samples;
}

/** Angle, speed and its change (rad, rad/s, rad/s²) of a swing to and fro that begins and ends at rest. */
function swing(t: number): Vector {
  const angle = (s: number) => {
    const level = Math.sin((Math.PI * s) / SWING_S) ** 2;
    return HALF_RAD * level * Math.sin(2 * Math.PI * SWING_HZ * s);
  };
  const h = 1e-4;
  const speed = (angle(t + h) - angle(t - h)) / (2 * h);
  return [angle(t), speed, (angle(t + h) - 2 * angle(t) + angle(t - h)) / (h * h)];
}

function sense(t: number, attitude: Matrix, speed: Vector, turn: Vector, normal: () => number): SwungSample {
  const gravity = inBody(attitude, [0, 0, 1]);
  const pull = added(cross(turn, ARM), cross(speed, cross(speed, ARM)));
  const noisy = (vector: Vector, size: number): Vector =>
    vector.map((value) => value + size * normal()) as unknown as Vector;
  return {
    t,
    rate: noisy(added(scaled(speed, 180 / Math.PI), [0.4, -0.3, 0.2]), 0.05),
    force: noisy(added(gravity, scaled(pull, 1 / STANDARD_GRAVITY_MPS2)), 0.003),
    gravity,
    field: noisy(inBody(attitude, FIELD), 0.002),
  };
}

type Matrix = readonly [Vector, Vector, Vector];

/** Rodrigues' formula. */
function rotation([x, y, z]: Vector, angle: number): Matrix {
  const [s, c] = [Math.sin(angle), 1 - Math.cos(angle)];
  return [
    [1 - c * (y * y + z * z), c * x * y - s * z, c * x * z + s * y],
    [c * x * y + s * z, 1 - c * (x * x + z * z), c * y * z - s * x],
    [c * x * z - s * y, c * y * z + s * x, 1 - c * (x * x + y * y)],
  ];
}

function times(a: Matrix, b: Matrix): Matrix {
  const cell = (i: 0 | 1 | 2, j: 0 | 1 | 2) => a[i][0] * b[0][j] + a[i][1] * b[1][j] + a[i][2] * b[2][j];
  const row = (i: 0 | 1 | 2): Vector => [cell(i, 0), cell(i, 1), cell(i, 2)];
  return [row(0), row(1), row(2)];
}

/** A vector of the room as the turned sensor sees it. */
function inBody(m: Matrix, v: Vector): Vector {
  const axis = (j: 0 | 1 | 2) => m[0][j] * v[0] + m[1][j] * v[1] + m[2][j] * v[2];
  return [axis(0), axis(1), axis(2)];
}

function cross([a, b, c]: Vector, [x, y, z]: Vector): Vector {
  return [b * z - c * y, c * x - a * z, a * y - b * x];
}

function added(a: Vector, b: Vector): Vector {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

function scaled(v: Vector, by: number): Vector {
  return [v[0] * by, v[1] * by, v[2] * by];
}

/** Turned by an angle about an axis, as an estimate in another frame stands. */
export function turned(v: Vector, angle: number): Vector {
  return inBody(rotation([0.6, 0, 0.8], angle), v);
}
