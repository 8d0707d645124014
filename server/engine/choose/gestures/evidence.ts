import { sampleRanges } from '../../base/sampleRanges.ts';
import { confirmedGestures, isSimulated } from '../../labels/confirmedGestures.ts';
import { GESTURE_KINDS, type GestureLabel, type LabelBy, type Labels, overlap } from '../../labels/labels.ts';
import { hearsImpact, type Signals } from '../../motion/signals.ts';
import { windowOf } from '../../score/gestureScore.ts';
import { proposeGestures } from '../../truth/gesturesProposed.ts';
import { unlabelledGestures } from '../../truth/labelsProposed.ts';
import type { Evidence } from '../problem.ts';
import { LEAST_RATE_HZ, type Unfit } from '../unfit.ts';
import { type GestureBase, type GestureMapKind, gestureMap } from './maps.ts';
import type { GestureTake } from './take.ts';

/** What a take's labelled gestures are worth for choosing a detector's settings. */
export interface GestureEvidence extends Evidence {
  /** Confirmed by a person, or known to a simulation. */
  readonly gestures: number;
  readonly by: Readonly<Record<LabelBy, number>>;
  /** Labelled by the program, and confirmed by nobody: they count for nothing. */
  readonly unconfirmed: number;
  /** Proposed and not labelled: as in Tune, a fire there is false where the labels tell of false ones. */
  readonly proposed: number;
  /** Swings and gestures of other kinds outside these, where the labels tell that they are none of this kind. */
  readonly others: number;
  /** Time outside them, where the labels tell so. */
  readonly outsideS: number;
  /** Starts of gestures that their labeller says lie in stillness. */
  readonly contradictionsUs: readonly number[];
}

export function gestureEvidenceOf(
  take: GestureTake,
  kind: GestureMapKind,
  { impact }: Pick<GestureBase, 'impact'>,
): GestureEvidence {
  const { id, title, performer, motion, signals, labels } = take;
  const { gesture } = gestureMap(kind);
  const { gestures, unconfirmed, tellsOutside } = confirmedGestures(labels, gesture);
  const by = { person: 0, program: 0, simulation: 0 };
  for (const one of gestures) ++by[one.by];
  const proposed = isSimulated(labels)
    ? []
    : unlabelledGestures(proposeGestures(motion), labels).filter((one) => one.kind === gesture);
  return {
    id,
    title,
    performer,
    gestures: gestures.length,
    by,
    unconfirmed: unconfirmed.length,
    proposed: proposed.length,
    others: tellsOutside ? othersIn(take, gestures, kind) : 0,
    outsideS: tellsOutside ? secondsOutside(signals, [...gestures, ...unconfirmed]) : 0,
    contradictionsUs: gestures.filter((one) => isSaidStill(one, labels)).map(({ startUs }) => startUs),
    unfit: take.unfit ?? unfitFor(signals, kind, impact.highPassHz),
  };
}

/** Movements that must not fire. A blow that ends a thrust belongs to it, and a thrust to its blow. */
function othersIn(
  { truth, labels }: GestureTake,
  gestures: readonly GestureLabel[],
  kind: GestureMapKind,
): number {
  const windows = gestures.map(windowOf);
  const kinds = GESTURE_KINDS.filter((one) => one !== gestureMap(kind).gesture);
  const others = [...truth.swings, ...kinds.flatMap((one) => confirmedGestures(labels, one).gestures)];
  return others.filter((other) => !windows.some((window) => overlap(window, other))).length;
}

function secondsOutside({ timeUs, rateHz }: Signals, gestures: readonly GestureLabel[]): number {
  let inside = 0;
  for (const { start, end } of sampleRanges(timeUs, gestures.map(windowOf))) inside += end - start;
  return (timeUs.length - inside) / rateHz;
}

function isSaidStill(gesture: GestureLabel, { spans }: Labels): boolean {
  return spans.some(
    ({ kind, by, startUs, endUs }) =>
      kind === 'still' && by === gesture.by && startUs <= gesture.startUs && gesture.endUs <= endUs,
  );
}

function unfitFor(signals: Signals, kind: GestureMapKind, highPassHz: number): Unfit | null {
  const { rateHz, timeUs } = signals;
  const { channel } = gestureMap(kind);
  if (timeUs.length === 0) return { kind: 'noMotion' };
  if (rateHz < LEAST_RATE_HZ) return { kind: 'slow', rateHz, what: 'gesture' };
  if (kind !== 'twist' && !hearsImpact(highPassHz, rateHz)) return { kind: 'noHits', rateHz, highPassHz };
  const known = signals[channel].reduce((sum, value) => sum + (Number.isNaN(value) ? 0 : 1), 0);
  if (known >= timeUs.length / 2) return null;
  return { kind: 'missing', what: channel === 'twistDeg' ? 'rates' : 'force' };
}
