import { gestureEvidenceOf } from '../../../../server/engine/choose/gestures/evidence.ts';
import type { GestureBase, GestureMapKind } from '../../../../server/engine/choose/gestures/maps.ts';
import {
  type GestureGrid,
  type GestureTake,
  sweepGestureTake,
} from '../../../../server/engine/choose/gestures/take.ts';
import { DEFAULT_CANDIDATE } from '../../../../server/engine/settings/candidateRules.ts';
import type { Swing } from '../../../../server/engine/truth/swings.ts';
import { fakeMotion } from '../../fakeSignals.ts';
import { drawnGestures, RATE_HZ } from '../../sweep/drawnGestures.ts';

export const base: GestureBase = {
  ...DEFAULT_CANDIDATE,
  impact: { ...DEFAULT_CANDIDATE.impact, impactG: 0.5, restMs: 0 },
  stab: { ...DEFAULT_CANDIDATE.stab, quietDps: 800, windowMs: 300, untilHitDps: 10000 },
};

/** Few enough cells for a naive loop over all of them. */
export const AXES: Readonly<Record<GestureMapKind, { xs: number[]; ys: number[] }>> = {
  stab: { xs: [0.5, 1, 1.5, 2], ys: [0, 40, 80] },
  impact: { xs: [0.5, 1, 2, 3], ys: [0, 0.2, 0.4] },
  twist: { xs: [30, 60, 90], ys: [100, 300, 500] },
};

/** A take of random signals and labels, with four swings of a second each. */
export function drawnTake(seed: number): GestureTake {
  const { signals, labels, segments } = drawnGestures(seed);
  const swing = (startS: number): Swing => {
    const [startUs, endUs] = [startS * 1e6, (startS + 1) * 1e6];
    return { startUs, endUs, peakUs: startUs, peakDps: 500, saturated: false, by: 'program' };
  };
  return {
    id: `take-${seed}`,
    title: `Take ${seed}`,
    performer: seed % 2 === 0 ? 'one' : 'other',
    motion: fakeMotion(signals.swingSpeedDps, { rateHz: RATE_HZ, segments, gapUs: 300_000 }),
    signals,
    leverArmM: 0.1,
    presses: [],
    labels,
    truth: { swings: [0, 2, 4, 6].map(swing) },
  };
}

export function gridOf(take: GestureTake, kind: GestureMapKind, axes = AXES[kind]): GestureGrid {
  const { others, outsideS } = gestureEvidenceOf(take, kind, base);
  const grid = sweepGestureTake(take, kind, base, axes);
  return { ...grid, sizes: { ...grid.sizes, others, outsideS } };
}
