import type { Piece } from './piece.ts';

/** One lobe of acceleration. `peak` in m/s^2; `atS` counts from the start of the push. */
export interface Lobe {
  /** `smooth` = sine squared, as a hand pushes; `sharp` = half a sine, as a pad hits back; `ring` = what decays after. */
  readonly shape: 'smooth' | 'sharp' | 'ring';
  readonly atS: number;
  /** Length of the lobe; for `ring`, the time in which it decays to 1/e. */
  readonly durationS: number;
  readonly peak: number;
  /** For `ring`. */
  readonly hz?: number;
}

/**
 * A path of the hand that is given by its acceleration: the lobes one after another, then a move (fifth order in
 * time) that brings speed and place back to zero, so that no thrust leaves the hand drifting.
 * @param settleAtS  When the way back starts, counted from `startS`; every lobe must have ended or died away.
 */
export function push(startS: number, lobes: readonly Lobe[], settleAtS: number, settleS: number): Piece {
  const atSettle = new Float64Array(3);
  for (const lobe of lobes) addLobe(lobe, settleAtS, atSettle);
  const way = wayBack(atSettle[0]!, atSettle[1]!, atSettle[2]!, settleS);
  return {
    startS,
    endS: startS + settleAtS + settleS,
    after: 0,
    add(tS, out) {
      const s = tS - startS;
      if (s >= settleAtS) addPolynomial(way, s - settleAtS, out);
      else for (const lobe of lobes) addLobe(lobe, s, out);
    },
  };
}

function addLobe(lobe: Lobe, s: number, out: Float64Array): void {
  const t = s - lobe.atS;
  if (t <= 0) return;
  if (lobe.shape === 'ring') {
    addRing(lobe, t, out);
    return;
  }
  const inside = Math.min(t, lobe.durationS);
  const coasting = t - inside;
  const rate = lobe.shape === 'smooth' ? addSmooth(lobe, inside, out) : addSharp(lobe, inside, out);
  out[0]! += rate * coasting;
}

/** P sin^2(pi t/T) and its integrals; returns the rate. */
function addSmooth(lobe: Lobe, t: number, out: Float64Array): number {
  const k = (2 * Math.PI) / lobe.durationS;
  const half = lobe.peak / 2;
  const rate = half * (t - Math.sin(k * t) / k);
  out[0]! += half * ((t * t) / 2 + (Math.cos(k * t) - 1) / (k * k));
  out[1]! += rate;
  out[2]! += half * (1 - Math.cos(k * t));
  return rate;
}

/** P sin(pi t/T) and its integrals; returns the rate. Change of speed 2PT/pi. */
function addSharp(lobe: Lobe, t: number, out: Float64Array): number {
  const k = Math.PI / lobe.durationS;
  const rate = (lobe.peak / k) * (1 - Math.cos(k * t));
  out[0]! += (lobe.peak / k) * (t - Math.sin(k * t) / k);
  out[1]! += rate;
  out[2]! += t < lobe.durationS ? lobe.peak * Math.sin(k * t) : 0;
  return rate;
}

/** P exp(-t/tau) sin(w t) and its integrals. */
function addRing(lobe: Lobe, t: number, out: Float64Array): void {
  const k = 1 / lobe.durationS;
  const w = 2 * Math.PI * (lobe.hz ?? 0);
  const d = w * w + k * k;
  const decay = Math.exp(-k * t);
  const [sin, cos] = [Math.sin(w * t), Math.cos(w * t)];
  out[0]! += (lobe.peak / d) * (w * t - (2 * w * k - decay * (2 * w * k * cos + (k * k - w * w) * sin)) / d);
  out[1]! += (lobe.peak / d) * (w - decay * (w * cos + k * sin));
  out[2]! += lobe.peak * decay * sin;
}

/** Coefficients c0..c5 of the quintic from (x, v, a) to rest at zero within T. */
function wayBack(x: number, v: number, a: number, T: number): readonly number[] {
  const [p, q, r] = [-(x + v * T + (a * T * T) / 2), -(v + a * T) * T, -a * T * T];
  const c3 = (10 * p - 4 * q + r / 2) / T ** 3;
  const c4 = (-15 * p + 7 * q - r) / T ** 4;
  const c5 = (6 * p - 3 * q + r / 2) / T ** 5;
  return [x, v, a / 2, c3, c4, c5];
}

function addPolynomial(c: readonly number[], t: number, out: Float64Array): void {
  const [c0, c1, c2, c3, c4, c5] = c as [number, number, number, number, number, number];
  out[0]! += c0 + t * (c1 + t * (c2 + t * (c3 + t * (c4 + t * c5))));
  out[1]! += c1 + t * (2 * c2 + t * (3 * c3 + t * (4 * c4 + t * 5 * c5)));
  out[2]! += 2 * c2 + t * (6 * c3 + t * (12 * c4 + t * 20 * c5));
}
