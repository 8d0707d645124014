import type { Segment } from '../../base/log.ts';
import { sampleRanges } from '../../base/sampleRanges.ts';
import { gestureDetector } from '../../detect/detectors.ts';
import { confirmedGestures } from '../../labels/confirmedGestures.ts';
import type { Signals } from '../../motion/signals.ts';
import { windowOf } from '../../score/gestureScore.ts';
import type { Candidate } from '../../settings/candidate.ts';
import { judgeGestures } from './judge.ts';
import { type GestureBase, type GestureMapKind, gestureMap } from './maps.ts';
import type { GestureTake } from './take.ts';

/**
 * Why a gesture is missed: it falls short of the level, or there is one other setting without which it would fire, or
 * there are several.
 */
export type MissCause =
  | { readonly kind: 'noData' }
  /** `isNet`: the rise with speed is taken off. */
  | { readonly kind: 'short'; readonly reached: number; readonly asked: number; readonly isNet: boolean }
  | { readonly kind: 'setting'; readonly path: string; readonly value: number }
  | { readonly kind: 'several' };

/** The settings of each detector, and values at which they keep no gesture from firing. */
const LOOSE: { readonly [Kind in GestureMapKind]: readonly Partial<Candidate[Kind]>[] } = {
  stab: [
    { quietBeforeMs: 0 },
    { sustainMs: 0 },
    { quietDps: 4000 },
    { untilHitDps: 10_000 },
    { hitRatio: 0.05 },
    { windowMs: 2000 },
  ],
  impact: [{ restMs: 0 }],
  twist: [{ windowMs: 5000 }, { quietDps: 4000 }],
};

/** @param missedUs  starts of gestures that the settings miss. */
export function missCauses(
  take: Pick<GestureTake, 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
  missedUs: readonly number[],
): ReadonlyMap<number, MissCause> {
  const causes = new Map<number, MissCause>();
  if (missedUs.length === 0) return causes;
  const { gestures } = confirmedGestures(take.labels, gestureMap(kind).gesture);
  for (const gesture of gestures.filter(({ startUs }) => missedUs.includes(startUs))) {
    const [range] = sampleRanges(take.signals.timeUs, [windowOf(gesture)]);
    const short = range === undefined ? NO_DATA : shortfall(take.signals, kind, base, range);
    if (short !== null) causes.set(gesture.startUs, short);
  }
  for (const change of LOOSE[kind]) {
    if (causes.size === missedUs.length) break;
    const field = Object.keys(change)[0]!;
    const value = (base[kind] as unknown as Readonly<Record<string, number>>)[field]!;
    const loose = { ...base, [kind]: { ...base[kind], ...change } };
    for (const { what, wrong, atUs } of judgeGestures(take, kind, loose))
      if (what === 'unit' && wrong === null && missedUs.includes(atUs) && !causes.has(atUs))
        causes.set(atUs, { kind: 'setting', path: `${kind}.${field}`, value });
  }
  for (const us of missedUs) if (!causes.has(us)) causes.set(us, { kind: 'several' });
  return causes;
}

const NO_DATA: MissCause = { kind: 'noData' };

/** How far a gesture stays below the level that is asked of it; null where it gets there. */
function shortfall(signals: Signals, kind: GestureMapKind, base: GestureBase, at: Segment): MissCause | null {
  const { reached, asked } = gestureDetector(kind).level(signals, at, base);
  if (Number.isNaN(reached)) return NO_DATA;
  const isNet = kind === 'impact' && base.impact.allowanceGPer100Dps > 0;
  return reached >= asked ? null : { kind: 'short', reached, asked, isNet };
}
