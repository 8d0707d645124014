import {
  GESTURE_MAPS,
  type GestureMapKind,
  gestureMap,
  withXY,
} from '../../server/engine/choose/gestures/maps.ts';
import { sweepGestureTake } from '../../server/engine/choose/gestures/take.ts';
import { confirmedGestures } from '../../server/engine/labels/confirmedGestures.ts';
import type { GestureLabel, Labels } from '../../server/engine/labels/labels.ts';
import type { Signals } from '../../server/engine/motion/signals.ts';
import { GestureMatch } from '../../server/engine/score/gestureMatch.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { seededNormal } from '../simulate/random.ts';
import { type Print, pair } from './pair.ts';

const RATE_HZ = 500;
const SECONDS = 120;
/** One gesture of each kind in so many seconds, and swings between them. */
const PERIOD_S = 10;

/** The maps of stab, impact and twist against a run of the detector for every cell. */
export async function benchGestureSweeps(print: Print): Promise<void> {
  const [signals, labels] = [makeSignals(), makeLabels()];
  for (const kind of GESTURE_MAPS) {
    const { x, y } = gestureMap(kind);
    const ours = () => sweepGestureTake({ signals, labels }, kind, DEFAULT_CANDIDATE);
    const theirs = () => naively(signals, labels, kind);
    const { missed, outside } = ours().wrong;
    if (theirs().some(([a, b], cell) => a !== missed[cell] || b !== outside[cell]))
      throw new Error(`the map of ${kind} and its runs disagree`);
    const size = `${x.values.length} × ${y.values.length}`;
    await pair(print, `${kind} over ${size} settings, 2 min at 500 Hz`, ours, 'a run each', theirs, '≥ 8');
  }
}

/** Gestures missed and fires outside, cell by cell. */
function naively(signals: Signals, labels: Labels, kind: GestureMapKind): [number, number][] {
  const { gesture, x, y, run } = gestureMap(kind);
  const match = new GestureMatch(confirmedGestures(labels, gesture));
  return x.values.flatMap((atX) =>
    y.values.map((atY): [number, number] => {
      const fires = run(signals, withXY(DEFAULT_CANDIDATE, kind, atX, atY));
      match.assign(Float64Array.from(fires, (i) => signals.timeUs[i]!));
      return [match.fireUs.filter((us) => Number.isNaN(us)).length, match.outsideUs.length];
    }),
  );
}

/** In each period a thrust into a pad at 1 s, a twist at 3 s, and swings with a parry from 5 s on; noise on all. */
function makeSignals(): Signals {
  const normal = seededNormal(11);
  const length = SECONDS * RATE_HZ;
  const bump = (t: number, at: number, s: number) =>
    t > at && t < at + s ? Math.sin((Math.PI * (t - at)) / s) : 0;
  const column = (of: (t: number, turn: number) => number, noise: number) =>
    Float64Array.from({ length }, (_, i) => {
      const s = i / RATE_HZ;
      return of(s % PERIOD_S, Math.floor(s / PERIOD_S)) + noise * normal();
    });
  const swing = (t: number) => (t > 5 && t < 9 ? 500 * Math.abs(Math.sin(4 * (t - 5))) : 0);
  const speed = column((t) => swing(t) + 20 * bump(t, 1, 0.2), 3).map(Math.abs);
  return {
    rateHz: RATE_HZ,
    timeUs: Float64Array.from({ length }, (_, i) => (i * 1e6) / RATE_HZ),
    segments: [{ start: 0, end: length }],
    saturated: new Uint8Array(length),
    swingSpeedDps: speed,
    trueSpeedDps: speed,
    thrustG: column((t, k) => (1 + (k % 4) / 3) * bump(t, 1, 0.15) + 0.002 * swing(t), 0.05),
    twistRateDps: new Float64Array(length),
    twistDeg: column(
      (t, k) => (50 + 5 * k) * (t < 3 ? 0 : t > 3.5 ? 1 : (t - 3) / 0.5) + 20 * Math.sin(4 * t),
      0.2,
    ),
    swingTwistDeg: new Float64Array(length),
    twistStarts: Uint8Array.from({ length }, (_, i) => (i % (PERIOD_S * RATE_HZ) === 0 ? 1 : 0)),
    impactG: column(
      (t, k) => (3 + (k % 5)) * (bump(t, 1.15, 0.01) + bump(t, 6, 0.01)) + 0.0015 * swing(t),
      0.1,
    ).map(Math.abs),
    warnings: [],
  };
}

function makeLabels(): Labels {
  const gestures = Array.from({ length: SECONDS / PERIOD_S }, (_, k): GestureLabel[] => {
    const at = (kind: GestureLabel['kind'], s: number, lengthS: number): GestureLabel => {
      const startUs = (k * PERIOD_S + s) * 1e6;
      return { kind, startUs, endUs: startUs + lengthS * 1e6, by: 'person' };
    };
    return [at('thrust', 1, 0.15), at('hit', 1.15, 0.02), at('twist', 3, 0.5), at('hit', 6, 0.02)];
  });
  return { presses: [], spans: [], swings: [], gestures: gestures.flat() };
}
