import type { Choreography } from './choreography.ts';
import { minimumJerk, type Piece } from './piece.ts';
import { axisInEarth } from './rigidBody.ts';

const RAD_PER_DEG = Math.PI / 180;
/** Heading, tilt and bank set the plane that the arm moves in. */
const PLANE_LINKS = 3;

interface ArmLengths {
  /** From the shoulder to the elbow. */
  readonly upperM: number;
  /** From the elbow to the wrist, which is the turning point of the blade. */
  readonly foreM: number;
}

export interface ArmTurn {
  readonly shoulderDeg: number;
  readonly elbowDeg: number;
  readonly wristDeg: number;
  /** Duration of each joint’s turn. */
  readonly durationS: number;
  /** How long after the joint above it each joint starts. */
  readonly lagS: number;
}

/**
 * An arm of two links with its joints in the blade's plane. Each joint turns all that hangs on it, so a turn of the elbow
 * turns the blade and moves the hand on an arc: its acceleration is real, and no turning point at rest explains it.
 */
export class Arm {
  private readonly c: Choreography;
  private readonly lengths: ArmLengths;
  /** The angle of each link against the plane's first axis, in degrees. */
  private upperDeg: number;
  private foreDeg: number;

  constructor(c: Choreography, lengths: ArmLengths, pose: { upperDeg: number; foreDeg: number }) {
    this.c = c;
    this.lengths = lengths;
    this.upperDeg = pose.upperDeg;
    this.foreDeg = pose.foreDeg;
  }

  /** Turns the joints together, from rest to rest, and waits for the last. Gives the middle of the wrist's turn. */
  turn({ shoulderDeg, elbowDeg, wristDeg, durationS, lagS }: ArmTurn): number {
    const { c } = this;
    const startS = c.nowS;
    const shoulder = minimumJerk(startS, durationS, shoulderDeg);
    const elbow = minimumJerk(startS + (shoulderDeg === 0 ? 0 : lagS), durationS, elbowDeg);
    const wrist = minimumJerk(elbow.startS + lagS, durationS, wristDeg);
    for (const piece of [shoulder, elbow, wrist]) c.add('swing', piece);
    this.moveHand([shoulder], this.upperDeg, this.lengths.upperM);
    this.moveHand([shoulder, elbow], this.foreDeg, this.lengths.foreM);
    this.upperDeg += shoulderDeg;
    this.foreDeg += shoulderDeg + elbowDeg;
    c.nowS = wrist.endS;
    return (wrist.startS + wrist.endS) / 2;
  }

  private moveHand(turns: readonly Piece[], fromDeg: number, lengthM: number): void {
    const { c } = this;
    for (const axis of [0, 1] as const) {
      const direction = axisInEarth(c.joints, axis, c.nowS, PLANE_LINKS);
      c.moveHand(direction, arc(turns, fromDeg, lengthM, axis));
    }
  }
}

/** The way of a link's far end along one axis of its plane, 0 (where it points at 0 degrees) or 1 (at 90), as its angle turns. */
function arc(turns: readonly Piece[], fromDeg: number, lengthM: number, axis: 0 | 1): Piece {
  const startS = Math.min(...turns.map((turn) => turn.startS));
  const endS = Math.max(...turns.map((turn) => turn.endS));
  const from = fromDeg * RAD_PER_DEG - (axis === 1 ? Math.PI / 2 : 0);
  const turned = turns.reduce((sum, turn) => sum + turn.after, 0) * RAD_PER_DEG;
  const angle = new Float64Array(3);
  return {
    startS,
    endS,
    after: lengthM * (Math.cos(from + turned) - Math.cos(from)),
    add(tS, out) {
      angle.fill(0);
      for (const turn of turns) {
        if (tS > turn.endS) angle[0]! += turn.after;
        else if (tS >= turn.startS) turn.add(tS, angle);
      }
      const [at, rate, accel] = angle.map((value) => value * RAD_PER_DEG) as unknown as [
        number,
        number,
        number,
      ];
      const [cos, sin] = [Math.cos(from + at), Math.sin(from + at)];
      out[0]! += lengthM * (cos - Math.cos(from));
      out[1]! -= lengthM * sin * rate;
      out[2]! -= lengthM * (sin * accel + cos * rate * rate);
    },
  };
}
