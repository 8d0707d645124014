import type { Choreography } from './choreography.ts';
import { cruise, minimumJerk, wave } from './piece.ts';

/** The prop lies on its stand: truly still. */
export function onStand(c: Choreography, durationS: number): void {
  c.marked('still', () => c.wait(durationS));
}

/**
 * One swing in the blade's plane, from rest to rest; gives its middle and its end.
 * @param alongM  how far the hand, and with it the turning point, goes along with the swing
 */
export function swing(
  c: Choreography,
  deg: number,
  durationS: number,
  alongM = 0.012,
): { peakS: number; endS: number } {
  const startS = c.nowS;
  c.turn('swing', deg, durationS);
  if (alongM > 0) swayAlong(c, alongM, durationS);
  c.wait(durationS);
  return { peakS: startS + durationS / 2, endS: c.nowS };
}

/** The hand goes a little way with a swing, out and back. */
function swayAlong(c: Choreography, amplitudeM: number, durationS: number): void {
  const shape = { amplitude: c.between(0.5, 1) * amplitudeM, hz: 1 / durationS };
  c.moveHand(c.axisAt(1, c.nowS), wave(c.nowS, durationS, durationS / 2, shape));
}

/** Swings out and straight back in one plane, `count` times in all; gives the moments at which it turns. */
export function reversals(c: Choreography, deg: number, durationS: number, count: number): number[] {
  const turns: number[] = [];
  const home = c.joints.swing.settled();
  const miss = 0.5 * c.hands.spread * Math.abs(deg);
  for (let k = 0; k < count; ++k) {
    const target = home + (k % 2 === 0 ? deg : 0) + c.between(-miss, miss);
    const done = swing(c, target - c.joints.swing.settled(), c.about(durationS));
    if (k < count - 1) turns.push(done.endS);
  }
  return turns;
}

interface EightShape {
  readonly azimuthDeg: number;
  readonly elevationDeg: number;
  /** Whole eights a second. */
  readonly hz: number;
  readonly durationS: number;
  readonly rampS?: number;
}

/**
 * A lying figure-eight without a stop; gives the moments at which the tip is at either end. There it is slowest, as long
 * as the elevation is below a quarter of the azimuth.
 */
export function lyingEight(c: Choreography, shape: EightShape): number[] {
  const { durationS, hz } = shape;
  const rampS = shape.rampS ?? 0.6;
  const wobble = { wobbleRad: c.between(0.3, 0.5), wobbleHz: c.between(0.12, 0.2) };
  const side = { amplitude: shape.azimuthDeg, hz, ...wobble };
  c.add('swing', wave(c.nowS, durationS, rampS, side));
  c.add('lift', wave(c.nowS, durationS, rampS, { ...side, amplitude: shape.elevationDeg, harmonic: 2 }));
  c.add('twist', wave(c.nowS, durationS, rampS, { ...side, amplitude: c.between(12, 22), phaseRad: 0.6 }));
  c.moveHand(
    c.axisAt(1, c.nowS),
    wave(c.nowS, durationS, rampS, { ...side, amplitude: 0.03, phaseRad: -0.4 }),
  );
  const startS = c.nowS;
  c.wait(durationS);
  const phase = (s: number) =>
    2 * Math.PI * hz * s + wobble.wobbleRad * Math.sin(2 * Math.PI * wobble.wobbleHz * s);
  return endsOfEight(phase, rampS, durationS - rampS).map((s) => startS + s);
}

/** Where the phase passes an odd multiple of a quarter turn, to 10 microseconds. */
function endsOfEight(phase: (s: number) => number, fromS: number, toS: number): number[] {
  const half = (s: number) => Math.floor(phase(s) / Math.PI + 0.5);
  const found: number[] = [];
  for (let s = fromS; s + 0.01 <= toS; s += 0.01) {
    if (half(s) === half(s + 0.01)) continue;
    let [low, high] = [s, s + 0.01];
    while (high - low > 1e-5) {
      const middle = (low + high) / 2;
      if (half(middle) === half(low)) low = middle;
      else high = middle;
    }
    found.push((low + high) / 2);
  }
  return found;
}

interface LoopShape {
  /** Mean rate of the loops, either sign. */
  readonly dps: number;
  readonly durationS: number;
  readonly rampS?: number;
  /** How far the plane swings to either side, in degrees. */
  readonly crossDeg?: number;
}

/** Whole loops that cross from one side of the body to the other, a figure-eight as spinners keep it going. */
export function loopingEight(c: Choreography, shape: LoopShape): void {
  const { dps, durationS } = shape;
  const rampS = shape.rampS ?? 0.25;
  const loopsHz = Math.abs(dps) / 360;
  const uneven = { hz: loopsHz, phaseRad: c.between(0, 6.28) };
  c.add('swing', cruise(c.nowS, durationS, dps, rampS));
  const calmS = Math.min(1.2, durationS / 2);
  c.add('swing', wave(c.nowS, durationS, calmS, { ...uneven, amplitude: c.between(14, 20) }));
  c.add('heading', wave(c.nowS, durationS, calmS, { amplitude: shape.crossDeg ?? 28, hz: loopsHz / 2 }));
  c.add(
    'twist',
    wave(c.nowS, durationS, calmS, { amplitude: c.between(8, 15), hz: loopsHz / 2, phaseRad: 1 }),
  );
  c.moveHand([0, 1, 0], wave(c.nowS, durationS, calmS, { amplitude: 0.02, hz: loopsHz }));
  c.wait(durationS);
}

/** Walking with the blade held low: 10 to 60 deg/s. */
export function carry(c: Choreography, durationS: number): void {
  const stepsHz = c.between(1.7, 1.9);
  const sway = (amplitude: number, hz: number) =>
    wave(c.nowS, durationS, 0.7, { amplitude, hz, phaseRad: c.between(0, 6.28) });
  c.add('lift', sway(c.between(4, 5.5), stepsHz / 2));
  c.add('heading', sway(c.between(3, 5), stepsHz / 2));
  c.add('swing', sway(c.between(0.8, 1.4), stepsHz));
  c.moveHand([0, 0, 1], sway(c.between(0.012, 0.017), stepsHz));
  c.add('heading', minimumJerk(c.nowS, durationS, c.between(-60, 60)));
  c.wait(durationS);
}

/** A turn of the blade about itself. */
export function twist(c: Choreography, deg: number, durationS: number): void {
  c.twists.push({ startS: c.nowS, endS: c.nowS + durationS, angleDeg: deg });
  c.turn('twist', deg, durationS);
  const drift = { amplitude: c.between(1, 2.5), hz: 1 / durationS };
  c.add('lift', wave(c.nowS, durationS, durationS / 2, drift));
  c.wait(durationS);
}
