import type { Quat } from '../base/quat.ts';
import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { OrientationFilter } from '../orientation/gravityFilter.ts';
import { StillDetector } from './stillMask.ts';

/**
 * A prop's view of its own motion, sample by sample: which way is up, how hard the hand pushes along the blade, whether
 * it lies still. Causal.
 */
export class BladeFollower {
  /** The specific force at rest, a unit vector, prop frame. */
  upX = 0;
  upY = 0;
  upZ = 1;
  /** Force along the blade less gravity. */
  rawThrustG = 0;
  /** The same with the swing's pull at the lever arm removed: f_x - up_x + r (ω_y² + ω_z²) / g. */
  thrustG = 0;
  isStill = false;
  private readonly orientation: OrientationFilter;
  private readonly still: StillDetector;
  private readonly pullGPerDps2: number;

  constructor(sampleHz: number, leverArmM: number) {
    this.orientation = new OrientationFilter(sampleHz, leverArmM);
    this.still = new StillDetector(sampleHz);
    this.pullGPerDps2 = (leverArmM * RAD_PER_DEG * RAD_PER_DEG) / STANDARD_GRAVITY_MPS2;
  }

  /** qEarthFromBody: up by gravity, the heading by the rates alone. */
  get q(): Quat {
    return this.orientation.q;
  }

  /** Rates in deg/s with the bias removed, force in g, prop frame. */
  step(gx: number, gy: number, gz: number, ax: number, ay: number, az: number): void {
    const { orientation } = this;
    orientation.step(gx, gy, gz, ax, ay, az);
    this.upX = orientation.upX;
    this.upY = orientation.upY;
    this.upZ = orientation.upZ;
    const across = gy * gy + gz * gz;
    this.rawThrustG = ax - this.upX;
    this.thrustG = this.rawThrustG + this.pullGPerDps2 * across;
    this.isStill = this.still.step(Math.sqrt(gx * gx + across), Math.sqrt(ax * ax + ay * ay + az * az));
  }

  reset(): void {
    this.orientation.reset();
    this.still.reset();
  }
}
