import { multiplyQuat, normaliseQuat, type Quat, quatFromVectorRad, rotateByQuat } from '../base/quat.ts';
import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { Cascade } from '../filter/biquad.ts';
import { designLowPass } from '../filter/butterworth.ts';

/**
 * Corner of the low-pass that gravity comes from. If it is lower, a gyro with a wrong scale ends a long spin further
 * from the truth; if it is higher, a hand that moves half a metre tilts the estimate: 0.5 m × (2π 0.12 Hz)² is 0.03 g,
 * 1.6°.
 */
export const CORNER_HZ = 0.12;
/** Until START_S the plain mean of all samples is used; by then it holds more signal than noise. */
export const START_S = 0.5;
/** A mean force shorter than this has no direction. */
export const LEAST_MEAN_G = 0.05;

/**
 * Which way is up, from rates and specific force. Rates alone propagate a frame that does not turn (but for the gyro's
 * error); in it the force is averaged over seconds. A hand that stays about where it is has no mean acceleration there,
 * however hard it swings, so the mean is gravity. No sample is left out for its size: without the fast half of a swing,
 * the pull of its slow half would not be balanced. Causal.
 * Source: the idea of filtering force in an almost inertial frame, Laidig and Seel, "VQF", Information Fusion 91, 2023
 * (cited from memory).
 */
export class OrientationFilter {
  /** The specific force at rest, in the body frame: a unit vector. */
  upX = 0;
  upY = 0;
  upZ = 1;
  private readonly stepS: number;
  private readonly armGPerDps: number;
  /** From the body to the frame that does not turn. */
  private readonly turned: Quat = Float64Array.of(1, 0, 0, 0);
  private readonly turn: Quat = Float64Array.of(1, 0, 0, 0);
  private readonly force = new Float64Array(3);
  private readonly speed = new Float64Array(3);
  private readonly swingForce = new Float64Array(3);
  /** Mean force in the frame that does not turn, and its direction. */
  private readonly mean = Float64Array.of(0, 0, 1);
  private readonly up = Float64Array.of(0, 0, 1);
  private readonly lowPass: readonly [Cascade, Cascade, Cascade];
  private readonly startSamples: number;
  private samples = 0;
  private lastX = 0;
  private lastY = 0;
  private lastZ = 0;

  /**
   * @param leverArmM  from the turning point to the sensor along +x: the acceleration of the sensor about that point is
   * subtracted from the force before it is averaged. 0 subtracts nothing, and costs a degree at most in fast swings.
   * @throws RangeError  unless sampleHz is above 0 and the lever arm is a number.
   */
  constructor(sampleHz: number, leverArmM = 0) {
    if (!(sampleHz > 0)) throw new RangeError(`sampleHz must be above 0, got ${sampleHz}`);
    if (!Number.isFinite(leverArmM)) throw new RangeError(`leverArmM must be a number, got ${leverArmM}`);
    this.stepS = 1 / sampleHz;
    this.startSamples = Math.ceil(START_S * sampleHz);
    this.armGPerDps = (leverArmM * RAD_PER_DEG * sampleHz) / STANDARD_GRAVITY_MPS2;
    const sections = designLowPass(2, Math.min(CORNER_HZ, 0.2 * sampleHz), sampleHz);
    this.lowPass = [new Cascade(sections), new Cascade(sections), new Cascade(sections)];
  }

  /** Forgets everything: the next sample starts anew. */
  reset(): void {
    this.samples = 0;
    this.turned.set([1, 0, 0, 0]);
    this.up.set([0, 0, 1]);
  }

  /**
   * qEarthFromBody: the orientation in the frame that does not turn, then the shortest turn that sets that frame
   * upright. Its heading is the one that the take began with.
   */
  get q(): Quat {
    const [x, y, z] = [this.up[0]!, this.up[1]!, this.up[2]!];
    const upright = z < -0.999999 ? Float64Array.of(0, 1, 0, 0) : Float64Array.of(1 + z, y, -x, 0);
    return normaliseQuat(multiplyQuat(normaliseQuat(upright), this.turned));
  }

  /**
   * Rates in deg/s with the bias removed, force in g, both in the body frame. A NaN in the force skips the force; a NaN
   * in the rates skips both.
   */
  step(gxDps: number, gyDps: number, gzDps: number, axG: number, ayG: number, azG: number): void {
    if (Number.isNaN(gxDps + gyDps + gzDps)) return;
    if (this.samples > 0) this.turnBy(gxDps, gyDps, gzDps);
    this.lastX = gxDps;
    this.lastY = gyDps;
    this.lastZ = gzDps;
    this.followSensor(gyDps, gzDps);
    if (!Number.isNaN(axG + ayG + azG)) {
      rotateByQuat(this.turned, axG, ayG, azG, this.force);
      this.average();
    }
    this.readUp();
  }

  /** Turns by the mean of the two samples' rates, along the exponential map. */
  private turnBy(gx: number, gy: number, gz: number): void {
    const half = (RAD_PER_DEG * this.stepS) / 2;
    quatFromVectorRad(
      (gx + this.lastX) * half,
      (gy + this.lastY) * half,
      (gz + this.lastZ) * half,
      this.turn,
    );
    normaliseQuat(multiplyQuat(this.turned, this.turn, this.turned));
  }

  /** ω × r in the frame; its change, summed over a swing, is exactly what the swing adds to the force. */
  private followSensor(gy: number, gz: number): void {
    const { speed, swingForce } = this;
    for (let k = 0; k < 3; ++k) swingForce[k] = speed[k]!;
    rotateByQuat(this.turned, 0, this.armGPerDps * gz, -this.armGPerDps * gy, speed);
    for (let k = 0; k < 3; ++k) swingForce[k] = this.samples > 0 ? speed[k]! - swingForce[k]! : 0;
  }

  private average(): void {
    const { mean, force, swingForce, lowPass } = this;
    if (this.samples === 0) mean.fill(0);
    ++this.samples;
    for (let k = 0; k < 3; ++k) {
      const f = force[k]! - swingForce[k]!;
      if (this.samples > this.startSamples) mean[k] = lowPass[k]!.step(f);
      else {
        mean[k] = mean[k]! + (f - mean[k]!) / this.samples;
        if (this.samples === this.startSamples) lowPass[k]!.prime(mean[k]!);
      }
    }
    const size = Math.sqrt(mean[0]! * mean[0]! + mean[1]! * mean[1]! + mean[2]! * mean[2]!);
    if (!(size > LEAST_MEAN_G)) return;
    for (let k = 0; k < 3; ++k) this.up[k] = mean[k]! / size;
  }

  /** The frame's up, turned back into the body: v' = q* v q. */
  private readUp(): void {
    const { turned, up, force } = this;
    turned[0] = -turned[0]!;
    rotateByQuat(turned, up[0]!, up[1]!, up[2]!, force);
    turned[0] = -turned[0]!;
    this.upX = force[0]!;
    this.upY = force[1]!;
    this.upZ = force[2]!;
  }
}
