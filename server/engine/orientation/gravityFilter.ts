import { multiplyQuat, normaliseQuat, type Quat, quatFromVectorRad } from '../quat.ts';
import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../units.ts';

/** How fast the estimate follows a trusted accelerometer, per second, and at the start, when nothing is known yet. */
const GAIN_PER_S = 0.5;
const START_GAIN_PER_S = 8;
const START_S = 0.6;
/** Trust falls to nothing where |f| is this far from 1 g, */
const FORCE_BAND_G = 0.12;
/** and to half at this rate: turning arms accelerate, in whatever direction. */
const HALF_TRUST_DPS = 120;

/**
 * Which way is up, from rates and specific force. Rates turn the estimate exactly (exponential map of the mean of two
 * samples); the accelerometer pulls it, slowly, toward the force it reads, and only where that force is near 1 g once the
 * swing's own pull is taken off. Causal.
 * Source: the explicit complementary filter of Mahony, Hamel and Pflimlin, IEEE Trans. Automatic Control 53(5), 2008
 * (cited from memory), with its gain weighted by trust.
 */
export class OrientationFilter {
  /** qEarthFromBody. Its heading is arbitrary. */
  readonly q: Quat = Float64Array.of(1, 0, 0, 0);
  /** The specific force at rest, in the body frame: a unit vector. */
  upX = 0;
  upY = 0;
  upZ = 1;
  private readonly stepS: number;
  private readonly leverArmM: number;
  private readonly turn: Quat = Float64Array.of(1, 0, 0, 0);
  private lastX = 0;
  private lastY = 0;
  private lastZ = 0;
  private ageS = -1;

  /** @param leverArmM  from the turning point to the sensor along +x; 0 takes no pull off. */
  constructor(sampleHz: number, leverArmM = 0) {
    if (!(sampleHz > 0)) throw new RangeError(`sampleHz must be above 0, got ${sampleHz}`);
    this.stepS = 1 / sampleHz;
    this.leverArmM = leverArmM;
  }

  reset(): void {
    this.ageS = -1;
  }

  /** Rates in deg/s with the bias removed, force in g, both in the body frame. NaN is taken for no news. */
  step(gxDps: number, gyDps: number, gzDps: number, axG: number, ayG: number, azG: number): void {
    if (Number.isNaN(gxDps + gyDps + gzDps + axG + ayG + azG)) return;
    if (this.ageS < 0) this.start(gxDps, gyDps, gzDps, axG, ayG, azG);
    else {
      this.turnBy(gxDps, gyDps, gzDps);
      this.pull(gxDps, gyDps, gzDps, axG, ayG, azG);
    }
    this.lastX = gxDps;
    this.lastY = gyDps;
    this.lastZ = gzDps;
    this.ageS += this.stepS;
    this.readUp();
  }

  /** The first force is all there is: take it for up. */
  private start(gx: number, gy: number, gz: number, ax: number, ay: number, az: number): void {
    const size = Math.sqrt(ax * ax + ay * ay + az * az);
    this.ageS = 0;
    this.lastX = gx;
    this.lastY = gy;
    this.lastZ = gz;
    this.q.set([1, 0, 0, 0]);
    if (!(size > 0.1)) return;
    const [ux, uy, uz] = [ax / size, ay / size, az / size];
    if (uz < -0.999999) this.q.set([0, 1, 0, 0]);
    else {
      // The shortest turn that takes (ux, uy, uz) to earth's up.
      this.q.set([1 + uz, uy, -ux, 0]);
      normaliseQuat(this.q);
    }
  }

  private turnBy(gx: number, gy: number, gz: number): void {
    const half = (RAD_PER_DEG * this.stepS) / 2;
    quatFromVectorRad(
      (gx + this.lastX) * half,
      (gy + this.lastY) * half,
      (gz + this.lastZ) * half,
      this.turn,
    );
    multiplyQuat(this.q, this.turn, this.q);
    normaliseQuat(this.q);
    this.readUp();
  }

  private pull(gx: number, gy: number, gz: number, ax: number, ay: number, az: number): void {
    const k = (this.leverArmM * RAD_PER_DEG * RAD_PER_DEG) / STANDARD_GRAVITY_MPS2;
    const fx = ax + k * (gy * gy + gz * gz);
    const fy = ay - k * gx * gy;
    const fz = az - k * gx * gz;
    const size = Math.sqrt(fx * fx + fy * fy + fz * fz);
    const gain = this.gain(size, Math.sqrt(gx * gx + gy * gy + gz * gz));
    if (!(gain > 0)) return;
    const part = (gain * this.stepS) / size;
    // e = f × up; turning the body by it brings up nearer to f. Zero where they agree: nothing is divided by it.
    const ex = fy * this.upZ - fz * this.upY;
    const ey = fz * this.upX - fx * this.upZ;
    const ez = fx * this.upY - fy * this.upX;
    quatFromVectorRad(ex * part, ey * part, ez * part, this.turn);
    multiplyQuat(this.q, this.turn, this.q);
    normaliseQuat(this.q);
  }

  private gain(sizeG: number, rateDps: number): number {
    const off = Math.abs(sizeG - 1) / FORCE_BAND_G;
    if (!(off < 1)) return 0;
    const slow = 1 / (1 + (rateDps / HALF_TRUST_DPS) ** 2);
    return (this.ageS < START_S ? START_GAIN_PER_S : GAIN_PER_S) * (1 - off) * slow;
  }

  /** Earth's up in the body frame: the third row of the rotation matrix of q. */
  private readUp(): void {
    const [w, x, y, z] = [this.q[0]!, this.q[1]!, this.q[2]!, this.q[3]!];
    this.upX = 2 * (x * z - w * y);
    this.upY = 2 * (y * z + w * x);
    this.upZ = 1 - 2 * (x * x + y * y);
  }
}
