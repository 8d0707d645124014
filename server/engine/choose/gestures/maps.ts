import { type GestureSettings, gestureDetector } from '../../detect/detectors.ts';
import { runImpact } from '../../detect/impact.ts';
import { stabHitSettings } from '../../detect/stab.ts';
import type { GestureKind } from '../../labels/labels.ts';
import type { Signals } from '../../motion/signals.ts';
import type { Candidate } from '../../settings/candidate.ts';
import { sweepImpacts } from '../../sweep/impactFires.ts';
import { sweepStabs } from '../../sweep/stabFires.ts';
import { TwistSweep } from '../../sweep/twistFires.ts';
import type { SweptSetting } from '../problem.ts';
import { spaced } from '../takeSweep.ts';

/** The settings of the detectors of gestures. */
export type GestureBase = GestureSettings;

export type GestureMapKind = 'stab' | 'impact' | 'twist';

export const GESTURE_MAPS: readonly GestureMapKind[] = ['stab', 'impact', 'twist'];

/** What tells one detector of gestures from another, as far as choosing its settings goes. */
interface GestureMap<Kind extends GestureMapKind = GestureMapKind> {
  readonly kind: Kind;
  /** The labels that it is scored by. */
  readonly gesture: GestureKind;
  readonly x: SweptSetting & { readonly field: keyof Candidate[Kind] };
  readonly y: SweptSetting & { readonly field: keyof Candidate[Kind] };
  /** The groups of a candidate, besides the smoothing, that the map rests on. */
  readonly restsOn: readonly (keyof GestureBase)[];
  /** The channel that the detector cannot do without. */
  readonly channel: 'thrustG' | 'impactG' | 'twistDeg';
  /** Indices of the samples where it fires. */
  run(signals: Signals, base: GestureBase): Int32Array;
  /** The same at many values of x, for base after base that differ in y alone. */
  sweeper(
    signals: Signals,
    base: GestureBase,
  ): (xs: Float64Array, base: GestureBase) => readonly ArrayLike<number>[];
}

function ofDetector<Kind extends GestureMapKind>(kind: Kind) {
  const { gesture, restsOn, run } = gestureDetector(kind);
  return { kind, gesture, restsOn, run };
}

/**
 * The second setting is the one that both sides lose by: on simulated swings of two and three joints, with a thrust of
 * 0.4 g, no quiet before leaves 12 false stabs and 200 ms none, and from 500 ms on thrusts soon after a swing are missed.
 * Duration, speed, and speed until the hit told them no better apart.
 */
const STAB: GestureMap<'stab'> = {
  ...ofDetector('stab'),
  x: { field: 'thrustG', values: spaced(0.2, 4, 0.1), step: 0.05 },
  y: { field: 'quietBeforeMs', values: spaced(0, 800, 20), step: 10 },
  channel: 'thrustG',
  sweeper(signals, base) {
    const hits = runImpact(signals, stabHitSettings(base.stab, base.impact));
    return (xs, { stab }) => sweepStabs(signals, xs, stab, hits);
  },
};

const IMPACT: GestureMap<'impact'> = {
  ...ofDetector('impact'),
  x: { field: 'impactG', values: spaced(0.5, 10, 0.1), step: 0.05 },
  y: { field: 'allowanceGPer100Dps', values: spaced(0, 1.5, 0.05), step: 0.01 },
  channel: 'impactG',
  sweeper: (signals) => (xs, base) => sweepImpacts(signals, xs, base.impact),
};

const TWIST: GestureMap<'twist'> = {
  ...ofDetector('twist'),
  x: { field: 'angleDeg', values: spaced(10, 180, 5), step: 1 },
  y: { field: 'windowMs', values: spaced(100, 2000, 50), step: 10 },
  channel: 'twistDeg',
  sweeper(signals) {
    const sweep = new TwistSweep(signals);
    return (xs, { twist }) => sweep.fires(xs, twist);
  },
};

export function gestureMap(kind: GestureMapKind): GestureMap {
  switch (kind) {
    case 'stab':
      return STAB as GestureMap;
    case 'impact':
      return IMPACT as GestureMap;
    case 'twist':
      return TWIST as GestureMap;
  }
}

/** The settings with the map's two at x and y. */
export function withXY(base: GestureBase, kind: GestureMapKind, x: number, y: number): GestureBase {
  const map = gestureMap(kind);
  return { ...base, [kind]: { ...base[kind], [map.x.field]: x, [map.y.field]: y } };
}
