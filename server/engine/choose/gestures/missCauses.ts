import type { Segment } from '../../base/log.ts';
import { sampleRanges } from '../../base/sampleRanges.ts';
import { roundedBeside } from '../../detect/wording.ts';
import { confirmedGestures } from '../../labels/confirmedGestures.ts';
import type { Signals } from '../../motion/signals.ts';
import { turnDeg, windowOf } from '../../score/gestureScore.ts';
import type { Candidate } from '../../settings/candidate.ts';
import { type GestureBase, type GestureMapKind, gestureMap } from './maps.ts';
import type { GestureTake } from './take.ts';
import { gestureVerdicts, type WrongGesture, wrongGestures } from './verdicts.ts';

/** What goes wrong, and of a gesture that is missed also why, as a clause; null of the others. */
export interface ExplainedGesture extends WrongGesture {
  readonly cause: string | null;
}

/**
 * All that goes wrong at a setting, in time order. A missed gesture falls short of the level, or there is one other
 * setting without which it would fire, or there are several.
 */
export function explainGestures(
  take: Pick<GestureTake, 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
): ExplainedGesture[] {
  const wrong = wrongGestures(take, kind, base);
  const causes = causesOf(
    take,
    kind,
    base,
    wrong.flatMap((one) => (one.kind === 'missed' ? [one.atUs] : [])),
  );
  return wrong.map((one) => ({ ...one, cause: one.kind === 'missed' ? causes.get(one.atUs)! : null }));
}

/** A setting put out of effect, and what to say where that makes a gesture fire. */
interface Loosened<Settings> {
  readonly change: Partial<Settings>;
  cause(settings: Settings): string;
}

const STAB: readonly Loosened<Candidate['stab']>[] = [
  {
    change: { quietBeforeMs: 0 },
    cause: ({ quietBeforeMs }) => `the blade is not quiet for ${quietBeforeMs} ms before it`,
  },
  { change: { sustainMs: 0 }, cause: ({ sustainMs }) => `its push lasts less than ${sustainMs} ms` },
  { change: { quietDps: 4000 }, cause: ({ quietDps }) => `the blade is faster than ${quietDps} °/s` },
  {
    change: { untilHitDps: 10_000 },
    cause: ({ untilHitDps }) => `the blade is faster than ${untilHitDps} °/s before the hit`,
  },
  { change: { hitRatio: 0.05 }, cause: () => 'its hit is too weak' },
  {
    change: { windowMs: 2000 },
    cause: ({ windowMs }) => `its hit comes later than ${windowMs} ms after the push`,
  },
];

const IMPACT: readonly Loosened<Candidate['impact']>[] = [
  { change: { restMs: 0 }, cause: ({ restMs }) => `another impact comes less than ${restMs} ms before` },
];

const TWIST: readonly Loosened<Candidate['twist']>[] = [
  { change: { windowMs: 5000 }, cause: ({ windowMs }) => `it takes longer than ${windowMs} ms` },
  { change: { quietDps: 4000 }, cause: ({ quietDps }) => `the blade is faster than ${quietDps} °/s` },
];

const NO_DATA = 'there is no motion data';

function causesOf(
  take: Pick<GestureTake, 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
  missedUs: readonly number[],
): Map<number, string> {
  const causes = new Map<number, string>();
  if (missedUs.length === 0) return causes;
  const { gestures } = confirmedGestures(take.labels, gestureMap(kind).gesture);
  for (const gesture of gestures.filter(({ startUs }) => missedUs.includes(startUs))) {
    const [range] = sampleRanges(take.signals.timeUs, [windowOf(gesture)]);
    const short = range === undefined ? NO_DATA : shortfall(take.signals, kind, base, range);
    if (short !== null) causes.set(gesture.startUs, short);
  }
  for (const { base: loose, cause } of loosened(kind, base)) {
    if (causes.size === missedUs.length) break;
    for (const us of gestureVerdicts(take, kind, loose).hitUs)
      if (missedUs.includes(us) && !causes.has(us)) causes.set(us, cause);
  }
  for (const us of missedUs)
    if (!causes.has(us)) causes.set(us, 'more than one setting keeps it from firing');
  return causes;
}

function loosened(
  kind: GestureMapKind,
  base: GestureBase,
): readonly { readonly base: GestureBase; readonly cause: string }[] {
  const of = <Kind extends GestureMapKind>(which: Kind, list: readonly Loosened<GestureBase[Kind]>[]) =>
    list.map(({ change, cause }) => {
      return { base: { ...base, [which]: { ...base[which], ...change } }, cause: cause(base[which]) };
    });
  switch (kind) {
    case 'stab':
      return of('stab', STAB);
    case 'impact':
      return of('impact', IMPACT);
    case 'twist':
      return of('twist', TWIST);
  }
}

/** How far a gesture stays below the level that is asked of it; null where it gets there. */
function shortfall(signals: Signals, kind: GestureMapKind, base: GestureBase, at: Segment): string | null {
  const reached = (value: number, asked: number, unit: string) => {
    if (Number.isNaN(value)) return NO_DATA;
    const shown = roundedBeside(value, asked, kind === 'twist' ? 0 : 1);
    return value >= asked ? null : `it reaches ${shown}${unit} of the ${asked}${unit} asked`;
  };
  switch (kind) {
    case 'stab':
      return reached(
        highest(at, (i) => signals.thrustG[i]!),
        base.stab.thrustG,
        ' g',
      );
    case 'impact': {
      const { impactG, allowanceGPer100Dps } = base.impact;
      const most = highest(
        at,
        (i) => signals.impactG[i]! - (allowanceGPer100Dps / 100) * signals.swingSpeedDps[i]!,
      );
      const words = reached(most, impactG, ' g');
      return words !== null && words !== NO_DATA && allowanceGPer100Dps > 0
        ? `${words}, the rise with speed taken off`
        : words;
    }
    case 'twist':
      return reached(turnDeg(signals, at), base.twist.angleDeg, '°');
  }
}

/** NaN where nothing is known. */
function highest({ start, end }: Segment, of: (index: number) => number): number {
  let most = Number.NaN;
  for (let i = start; i < end; ++i) if (!(of(i) <= most) && !Number.isNaN(of(i))) most = of(i);
  return most;
}
