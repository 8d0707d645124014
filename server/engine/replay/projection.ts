import { RAD_PER_DEG } from '../base/units.ts';

/** From where the blade is looked at: turned about the vertical, and raised above the ground. */
export interface View {
  readonly yawDeg: number;
  readonly pitchDeg: number;
}

/** A little from the side and from above, so that depth can be told. */
export const FIRST_VIEW: View = { yawDeg: 20, pitchDeg: 12 };
export const STEEPEST_DEG = 85;

/** Height of the ground below the hand, and distance of the eye from it, in blade lengths. */
export const GROUND = -1.05;
const EYE = 5;
/** Half the picture's smaller side, in blade lengths: the tip stays inside wherever it points. */
const REACH = 1.42;

/** A view turned by a drag or a key, kept between straight down and straight up. */
export function turnView({ yawDeg, pitchDeg }: View, byYawDeg: number, byPitchDeg: number): View {
  const yaw = (yawDeg + byYawDeg) % 360;
  return { yawDeg: yaw, pitchDeg: Math.min(STEEPEST_DEG, Math.max(-STEEPEST_DEG, pitchDeg + byPitchDeg)) };
}

/**
 * Central projection of points about the hand, in blade lengths (z up), to a picture (y down). At yaw and pitch 0 the eye
 * stands at −y: x is to the right.
 */
export class Projection {
  readonly width: number;
  readonly height: number;
  /** Of the point given last. */
  x = 0;
  y = 0;
  /** How much larger it looks than at the hand's distance. */
  near = 1;
  private readonly cosYaw: number;
  private readonly sinYaw: number;
  private readonly cosPitch: number;
  private readonly sinPitch: number;
  private readonly scale: number;

  constructor({ yawDeg, pitchDeg }: View, width: number, height: number) {
    this.width = width;
    this.height = height;
    this.cosYaw = Math.cos(yawDeg * RAD_PER_DEG);
    this.sinYaw = Math.sin(yawDeg * RAD_PER_DEG);
    this.cosPitch = Math.cos(pitchDeg * RAD_PER_DEG);
    this.sinPitch = Math.sin(pitchDeg * RAD_PER_DEG);
    this.scale = Math.min(width, height) / 2 / REACH;
  }

  place(x: number, y: number, z: number): this {
    const right = this.cosYaw * x + this.sinYaw * y;
    const away = this.cosYaw * y - this.sinYaw * x;
    const depth = this.cosPitch * away - this.sinPitch * z;
    this.near = EYE / (EYE + depth);
    this.x = this.width / 2 + this.scale * this.near * right;
    this.y = this.height / 2 - this.scale * this.near * (this.cosPitch * z + this.sinPitch * away);
    return this;
  }
}
