import { DEG_PER_RAD } from '../units.ts';

/** One second-order section, a0 = 1: y = b0 x0 + b1 x1 + b2 x2 - a1 y1 - a2 y2. */
export interface Section {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

/** Sections in series, each in transposed direct form II. */
export class Cascade {
  private readonly sections: readonly Section[];
  private readonly z1: Float64Array;
  private readonly z2: Float64Array;

  constructor(sections: readonly Section[]) {
    this.sections = sections;
    this.z1 = new Float64Array(sections.length);
    this.z2 = new Float64Array(sections.length);
  }

  step(x: number): number {
    const { sections, z1, z2 } = this;
    let y = x;
    for (let k = 0; k < sections.length; ++k) {
      const s = sections[k]!;
      const u = y;
      y = s.b0 * u + z1[k]!;
      z1[k] = s.b1 * u - s.a1 * y + z2[k]!;
      z2[k] = s.b2 * u - s.a2 * y;
    }
    return y;
  }

  /** All that was before is forgotten: as if the input had always been 0. */
  reset(): void {
    this.z1.fill(0);
    this.z2.fill(0);
  }

  /** The state after an endless input of x. */
  prime(x: number): void {
    let u = x;
    this.sections.forEach((s, k) => {
      const y = (u * (s.b0 + s.b1 + s.b2)) / (1 + s.a1 + s.a2);
      this.z2[k] = s.b2 * u - s.a2 * y;
      this.z1[k] = s.b1 * u - s.a1 * y + this.z2[k]!;
      u = y;
    });
  }
}

/** |H| of sections in series at a frequency. */
export function magnitudeAt(sections: readonly Section[], frequencyHz: number, sampleHz: number): number {
  return sections.reduce((product, section) => {
    const { num, den } = response(section, (2 * Math.PI * frequencyHz) / sampleHz);
    return (product * Math.hypot(num.re, num.im)) / Math.hypot(den.re, den.im);
  }, 1);
}

/** Phase of sections in series, in degrees, each section's within ±180. */
export function phaseDegAt(sections: readonly Section[], frequencyHz: number, sampleHz: number): number {
  return sections.reduce((sum, section) => {
    const { num, den } = response(section, (2 * Math.PI * frequencyHz) / sampleHz);
    return sum + (Math.atan2(num.im, num.re) - Math.atan2(den.im, den.re)) * DEG_PER_RAD;
  }, 0);
}

/** -dφ/dω of sections in series, in milliseconds, exact at every frequency where |H| is not 0. */
export function groupDelayMs(sections: readonly Section[], frequencyHz: number, sampleHz: number): number {
  const w = (2 * Math.PI * frequencyHz) / sampleHz;
  const samples = sections.reduce((sum, { b0, b1, b2, a1, a2 }) => {
    return sum + polynomialDelay(b0, b1, b2, w) - polynomialDelay(1, a1, a2, w);
  }, 0);
  return (samples * 1000) / sampleHz;
}

/** Delay of p0 + p1 z^-1 + p2 z^-2 in samples: Re(Σ k p_k e^{-jkw} / Σ p_k e^{-jkw}). */
function polynomialDelay(p0: number, p1: number, p2: number, w: number): number {
  const re = p0 + p1 * Math.cos(w) + p2 * Math.cos(2 * w);
  const im = -p1 * Math.sin(w) - p2 * Math.sin(2 * w);
  const dRe = p1 * Math.cos(w) + 2 * p2 * Math.cos(2 * w);
  const dIm = -p1 * Math.sin(w) - 2 * p2 * Math.sin(2 * w);
  return (dRe * re + dIm * im) / (re * re + im * im);
}

interface Complex {
  readonly re: number;
  readonly im: number;
}

function response({ b0, b1, b2, a1, a2 }: Section, w: number): { num: Complex; den: Complex } {
  const [c1, s1, c2, s2] = [Math.cos(w), Math.sin(w), Math.cos(2 * w), Math.sin(2 * w)];
  return {
    num: { re: b0 + b1 * c1 + b2 * c2, im: -b1 * s1 - b2 * s2 },
    den: { re: 1 + a1 * c1 + a2 * c2, im: -a1 * s1 - a2 * s2 },
  };
}
