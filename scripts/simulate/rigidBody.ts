import type { HandName, JointName, Joints, SlipName } from './joints.ts';
import { JOINTS } from './joints.ts';
import { type PathBlock, pathBlock } from './track.ts';
import { intoBody, leverArmAccel } from './vectors.ts';

/** Standard gravity, m/s^2 (3rd CGPM, 1901). */
export const GRAVITY_MPS2 = 9.80665;
const RAD_PER_DEG = Math.PI / 180;
const BLOCK = 4096;
const FIRST_TREMOR = JOINTS.findIndex((joint) => joint.name.startsWith('tremor'));

/**
 * The exact motion on a fine uniform grid that starts at time 0. `q` takes the prop frame to the earth frame (z up);
 * rates (rad/s), angular accelerations (rad/s^2) and specific force (m/s^2) are in the prop frame. `intended` rates,
 * in deg/s, leave out the tremor, which is the last joint of the chain.
 */
export interface FineMotion {
  readonly hz: number;
  readonly length: number;
  readonly q: Vec4Columns;
  readonly rate: Vec3Columns;
  readonly angularAccel: Vec3Columns;
  readonly force: Vec3Columns;
  /** Acceleration of the turning point (m/s^2), prop frame: no gravity, and nothing of the swing's own pull. */
  readonly hand: Vec3Columns;
  readonly intendedDps: Vec3Columns;
}

export interface Vec3Columns {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
}

interface Vec4Columns extends Vec3Columns {
  readonly w: Float64Array;
}

/**
 * Runs the chain of joints and the path of the turning point, and gives what a sensor at `leverArmM` (from the
 * turning point, prop frame) must feel: f = R^T(a - g) + w x (w x r) + alpha x r, and 2 w x v + dv/dt where the prop
 * slips through the hand at v. Every derivative is analytic.
 * Source: rigid-body kinematics, e.g. Titterton and Weston, Strapdown Inertial Navigation ("size effect").
 */
export function runRigidBody(
  joints: Joints,
  leverArmM: readonly [number, number, number],
  durationS: number,
  hz: number,
): FineMotion {
  const length = Math.floor(durationS * hz) + 1;
  const motion = emptyMotion(hz, length);
  const body = new Body();
  for (let first = 0; first < length; first += BLOCK) {
    const count = Math.min(BLOCK, length - first);
    const angles = JOINTS.map((joint) => sampled(joints, joint.name, first, hz, count));
    const handX = sampled(joints, 'handX', first, hz, count).accel;
    const handY = sampled(joints, 'handY', first, hz, count).accel;
    const handZ = sampled(joints, 'handZ', first, hz, count).accel;
    const slip = joints.slip.isEmpty ? null : sampled(joints, 'slip', first, hz, count);
    const arm: [number, number, number] = [...leverArmM];
    for (let i = 0; i < count; ++i) {
      body.reset();
      for (let j = 0; j < JOINTS.length; ++j) {
        if (j === FIRST_TREMOR) writeIntended(motion.intendedDps, first + i, body);
        const { value, rate, accel } = angles[j]!;
        body.turn(JOINTS[j]!.axis, value[i]! * RAD_PER_DEG, rate[i]! * RAD_PER_DEG, accel[i]! * RAD_PER_DEG);
      }
      writeBody(motion, first + i, body);
      if (slip) arm[0] = leverArmM[0] + slip.value[i]!;
      writeForce(motion, first + i, body, arm, handX[i]!, handY[i]!, handZ[i]!);
      if (slip) addSlip(motion.force, first + i, body, slip.rate[i]!, slip.accel[i]!);
    }
  }
  return motion;
}

function sampled(
  joints: Joints,
  name: JointName | HandName | SlipName,
  first: number,
  hz: number,
  count: number,
): PathBlock {
  const out = pathBlock(count);
  joints[name].sample(first, hz, out);
  return out;
}

/** Orientation, rate and angular acceleration of the last link of a chain of hinges, in that link's own frame. */
class Body {
  /** Scalar first. */
  readonly q = [1, 0, 0, 0] as [number, number, number, number];
  readonly w = [0, 0, 0] as [number, number, number];
  readonly alpha = [0, 0, 0] as [number, number, number];

  reset(): void {
    const { q, w, alpha } = this;
    q[0] = 1;
    q[1] = q[2] = q[3] = w[0] = w[1] = w[2] = alpha[0] = alpha[1] = alpha[2] = 0;
  }

  /** Adds a hinge about axis 0, 1 or 2 of the link so far. */
  turn(axis: 0 | 1 | 2, angle: number, rate: number, accel: number): void {
    // the two axes that the hinge turns, in right-handed order
    const b = axis === 2 ? 0 : axis + 1;
    const c = axis === 0 ? 2 : axis - 1;
    const cos = Math.cos(angle);
    const sin = Math.sin(angle);
    const { q, w, alpha } = this;
    rotateBack(w, b, c, cos, sin);
    rotateBack(alpha, b, c, cos, sin);
    // d/dt (A^T w) = A^T alpha - (hinge rate) x (A^T w)
    alpha[b]! += rate * w[c]!;
    alpha[c]! -= rate * w[b]!;
    w[axis] += rate;
    alpha[axis] += accel;
    const h = Math.cos(angle / 2);
    const s = Math.sin(angle / 2);
    const q0 = q[0];
    const qa = q[axis + 1]!;
    const qb = q[b + 1]!;
    const qc = q[c + 1]!;
    q[0] = q0 * h - qa * s;
    q[axis + 1] = qa * h + q0 * s;
    q[b + 1] = qb * h + qc * s;
    q[c + 1] = qc * h - qb * s;
  }
}

/** Turns the components `b` and `c` of a vector into a frame that stands at +angle to the old one. */
function rotateBack(v: number[], b: number, c: number, cos: number, sin: number): void {
  const vb = v[b]!;
  const vc = v[c]!;
  v[b] = cos * vb + sin * vc;
  v[c] = cos * vc - sin * vb;
}

function writeIntended(out: Vec3Columns, i: number, body: Body): void {
  out.x[i] = body.w[0] / RAD_PER_DEG;
  out.y[i] = body.w[1] / RAD_PER_DEG;
  out.z[i] = body.w[2] / RAD_PER_DEG;
}

function writeBody(motion: FineMotion, i: number, body: Body): void {
  const { q, rate, angularAccel } = motion;
  q.w[i] = body.q[0];
  q.x[i] = body.q[1];
  q.y[i] = body.q[2];
  q.z[i] = body.q[3];
  rate.x[i] = body.w[0];
  rate.y[i] = body.w[1];
  rate.z[i] = body.w[2];
  angularAccel.x[i] = body.alpha[0];
  angularAccel.y[i] = body.alpha[1];
  angularAccel.z[i] = body.alpha[2];
}

function writeForce(
  { force, hand }: FineMotion,
  i: number,
  body: Body,
  r: readonly [number, number, number],
  ax: number,
  ay: number,
  az: number,
): void {
  const [x, y, z] = intoBody(body.q, ax, ay, az + GRAVITY_MPS2);
  const [lx, ly, lz] = leverArmAccel(body.w, body.alpha, r);
  force.x[i] = x + lx;
  force.y[i] = y + ly;
  force.z[i] = z + lz;
  const [hx, hy, hz] = intoBody(body.q, ax, ay, az);
  hand.x[i] = hx;
  hand.y[i] = hy;
  hand.z[i] = hz;
}

/** 2 w x v + dv/dt for a speed v along the blade. */
function addSlip(force: Vec3Columns, i: number, { w }: Body, rate: number, accel: number): void {
  force.x[i]! += accel;
  force.y[i]! += 2 * w[2] * rate;
  force.z[i]! -= 2 * w[1] * rate;
}

function emptyMotion(hz: number, length: number): FineMotion {
  const vec = () => ({
    x: new Float64Array(length),
    y: new Float64Array(length),
    z: new Float64Array(length),
  });
  return {
    hz,
    length,
    q: { w: new Float64Array(length), ...vec() },
    rate: vec(),
    angularAccel: vec(),
    force: vec(),
    hand: vec(),
    intendedDps: vec(),
  };
}

/** A prop axis in earth coordinates, at one moment; or that of an earlier link, of the chain's first `links`. */
export function axisInEarth(
  joints: Joints,
  axis: 0 | 1 | 2,
  tS: number,
  links: number = JOINTS.length,
): [number, number, number] {
  const body = new Body();
  for (const joint of JOINTS.slice(0, links))
    body.turn(joint.axis, joints[joint.name].valueAt(tS) * RAD_PER_DEG, 0, 0);
  const { q } = body;
  return [intoBody(q, 1, 0, 0)[axis], intoBody(q, 0, 1, 0)[axis], intoBody(q, 0, 0, 1)[axis]];
}
