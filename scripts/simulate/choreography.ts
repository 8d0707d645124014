import type { Intent } from '../../server/engine/detect/presses.ts';
import { type HandName, type JointName, type Joints, type SlipName, stillJoints } from './joints.ts';
import { minimumJerk, type Piece, scaled, wave } from './piece.ts';
import { seededRandom } from './random.ts';
import { axisInEarth } from './rigidBody.ts';

/** A stretch of simulated time. */
interface SpanS {
  readonly startS: number;
  readonly endS: number;
}

interface PlannedPress {
  readonly button: string;
  readonly downS: number;
  readonly upS: number;
  readonly intent: Intent;
  readonly why: string;
}

/** All that happens in a take, in simulated seconds, before any sensor sees it. */
export interface Choreographed {
  readonly joints: Joints;
  readonly durationS: number;
  readonly presses: readonly PlannedPress[];
  readonly spans: readonly (SpanS & { readonly kind: string })[];
  readonly thrusts: readonly (SpanS & { readonly peakG: number; readonly meetsPad: boolean })[];
  readonly hits: readonly { readonly tS: number; readonly peakG: number }[];
  readonly twists: readonly (SpanS & { readonly angleDeg: number })[];
}

/** What sets one pair of hands apart from another. */
interface Hands {
  /** Root mean square of the tremor's rate on each axis, deg/s. */
  readonly tremorDps: number;
  /** The same for the tremor's acceleration, in m/s^2. */
  readonly tremorMps2: number;
  /** How far the held blade sways, in degrees. */
  readonly swayDeg: number;
  /** Share by which one movement differs from the next. */
  readonly spread: number;
}

const STEADY_HANDS: Hands = { tremorDps: 2.5, tremorMps2: 0.15, swayDeg: 1, spread: 0.08 };

/** A take as it is being written: a clock that moves on, and the paths, presses and marks that gather behind it. */
export class Choreography {
  nowS = 0;
  readonly joints = stillJoints();
  readonly hands: Hands;
  readonly thrusts: (SpanS & { peakG: number; meetsPad: boolean })[] = [];
  readonly hits: { tS: number; peakG: number }[] = [];
  readonly twists: (SpanS & { angleDeg: number })[] = [];
  private readonly presses: PlannedPress[] = [];
  private readonly spans: (SpanS & { kind: string })[] = [];
  private readonly inHand: { startS: number; endS: number | null }[] = [];
  private readonly random: () => number;

  constructor(seed: number, hands: Partial<Hands> = {}) {
    this.random = seededRandom(seed);
    this.hands = { ...STEADY_HANDS, ...hands };
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.random();
  }

  /** The value, off by up to the hands' spread. */
  about(value: number): number {
    return value * (1 + this.hands.spread * this.between(-1, 1));
  }

  wait(durationS: number): void {
    this.nowS += durationS;
  }

  add(track: JointName | HandName | SlipName, piece: Piece): void {
    this.joints[track].add(piece);
  }

  /** A turn of one joint that starts now; the clock stays. */
  turn(joint: JointName, deltaDeg: number, durationS: number): void {
    this.add(joint, minimumJerk(this.nowS, durationS, deltaDeg));
  }

  /** The pose in which the take begins. */
  startAt(pose: Partial<Record<JointName, number>>): void {
    for (const [joint, deg] of Object.entries(pose) as [JointName, number][]) {
      this.add(joint, minimumJerk(-1, 1, deg));
    }
  }

  /** Takes every named joint to a value by the shorter way round, together, and waits for it. */
  moveTo(pose: Partial<Record<JointName, number>>, durationS: number): void {
    for (const [joint, deg] of Object.entries(pose) as [JointName, number][]) {
      const ahead = (deg - this.joints[joint].settled()) % 360;
      this.turn(joint, ahead - 360 * Math.round(ahead / 360), durationS);
    }
    this.wait(durationS);
  }

  /** Moves the hand along a direction that is fixed in the earth frame. */
  moveHand(direction: readonly [number, number, number], piece: Piece): void {
    const names = ['handX', 'handY', 'handZ'] as const;
    names.forEach((name, k) => {
      this.add(name, scaled(piece, direction[k]!));
    });
  }

  /** A prop axis in earth coordinates, at one moment. */
  axisAt(axis: 0 | 1 | 2, tS: number): [number, number, number] {
    return axisInEarth(this.joints, axis, tS);
  }

  press(button: string, downS: number, intent: Intent, why: string, heldS = this.between(0.07, 0.14)): void {
    this.presses.push({ button, downS, upS: downS + heldS, intent, why });
  }

  /** Marks the time that `moves` takes. */
  marked<T>(kind: string, moves: () => T): T {
    const startS = this.nowS;
    const result = moves();
    this.mark(kind, startS, this.nowS);
    return result;
  }

  mark(kind: string, startS: number, endS: number): void {
    this.spans.push({ kind, startS, endS });
  }

  takeInHand(): void {
    this.inHand.push({ startS: this.nowS, endS: null });
  }

  putDown(): void {
    const last = this.inHand.at(-1);
    if (!last || last.endS !== null) throw new RangeError('the prop is not in hand');
    last.endS = this.nowS;
  }

  /** The finished take; adds the tremor and sway of the hands wherever they held the prop. */
  finish(): Choreographed {
    for (const held of this.inHand) addHands(this, held.startS, held.endS ?? this.nowS + 1);
    const inTime = <T extends { startS: number }>(list: readonly T[]) =>
      list.toSorted((a, b) => a.startS - b.startS);
    return {
      joints: this.joints,
      durationS: this.nowS,
      presses: this.presses.toSorted((a, b) => a.downS - b.downS),
      spans: inTime(this.spans),
      thrusts: inTime(this.thrusts),
      hits: this.hits.toSorted((a, b) => a.tS - b.tS),
      twists: inTime(this.twists),
    };
  }
}

/**
 * Tremor of 8 to 12 Hz and slow sway while the prop is held; both swell and die within half a second.
 * Common knowledge of the trade: physiological tremor of the hand lies near 8 to 12 Hz.
 */
function addHands(c: Choreography, startS: number, endS: number): void {
  const durationS = endS - startS;
  const rampS = Math.min(0.5, durationS / 2);
  const { tremorDps, tremorMps2, swayDeg } = c.hands;
  const shake = (track: JointName | HandName, rms: number, order: 1 | 2) => {
    for (let k = 0; k < 4; ++k) {
      const hz = c.between(8, 12);
      const amplitude = ((rms / 2) * Math.SQRT2) / (2 * Math.PI * hz) ** order;
      c.add(track, wave(startS, durationS, rampS, { amplitude, hz, phaseRad: c.between(0, 6.28) }));
    }
  };
  for (const joint of ['tremorX', 'tremorY', 'tremorZ'] as const) shake(joint, tremorDps, 1);
  for (const hand of ['handX', 'handY', 'handZ'] as const) shake(hand, tremorMps2, 2);
  for (const joint of ['heading', 'lift', 'twist'] as const) {
    const shape = { amplitude: c.about(swayDeg), hz: c.between(0.15, 0.5), phaseRad: c.between(0, 6.28) };
    c.add(joint, wave(startS, durationS, rampS, shape));
  }
}
