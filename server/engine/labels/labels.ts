import type { Press, Span } from '../base/log.ts';

/** Who made a label. 'simulation' stands for what a simulated take knows about itself. */
export type LabelBy = 'person' | 'program' | 'simulation';

export type Intent = 'wanted' | 'stray' | 'unsure';

/** What a press was meant to be. It belongs to the press with the same button and `downUs`. */
export interface PressLabel {
  readonly downUs: number;
  readonly button: string;
  readonly intent: Intent;
  readonly by: LabelBy;
}

export interface SpanLabel extends Span {
  /** 'spinning', 'still', or a drill's name. */
  readonly kind: string;
  readonly by: LabelBy;
}

export interface SwingLabel extends Span {
  readonly peakUs: number;
  readonly by: LabelBy;
}

/** A thrust is one that meets something with the point; a hit is struck by the blade, or by whatever it meets. */
export type GestureKind = 'thrust' | 'hit' | 'twist';

export const GESTURE_KINDS: readonly GestureKind[] = ['thrust', 'hit', 'twist'];

export interface GestureLabel extends Span {
  readonly kind: GestureKind;
  readonly by: LabelBy;
}

export interface Labels {
  readonly presses: readonly PressLabel[];
  readonly spans: readonly SpanLabel[];
  readonly swings: readonly SwingLabel[];
  /** Left out in documents of takes that were labelled before there were any: the same as none. */
  readonly gestures?: readonly GestureLabel[];
}

/** The span in which a person says that what looks like a swing is none. */
export const NO_SWING = 'no swing';

export const EMPTY_LABELS: Labels = Object.freeze({
  presses: Object.freeze([]),
  spans: Object.freeze([]),
  swings: Object.freeze([]),
});

/** The label that holds for a press: a person's before a simulation's before the program's; null where there is none. */
export function intentOf(labels: Pick<Labels, 'presses'>, press: Press): PressLabel | null {
  let best: PressLabel | null = null;
  for (const label of labels.presses) {
    if (label.downUs !== press.downUs || label.button !== press.button) continue;
    if (best === null || RANK[label.by] < RANK[best.by]) best = label;
  }
  return best;
}

const BEST_FIRST: readonly LabelBy[] = ['person', 'simulation', 'program'];

/** Labels made by whom count before those made by whom else. */
export const RANK: Readonly<Record<LabelBy, number>> = { person: 0, simulation: 1, program: 2 };

/** The spinning spans that a person or a simulation gave, in time order, or `proposed` where neither gave any. */
export function spinningSpans(labels: Pick<Labels, 'spans'>, proposed: readonly Span[]): readonly Span[] {
  const given = labels.spans.filter((span) => span.kind === 'spinning' && span.by !== 'program');
  return given.length > 0 ? given.sort((a, b) => a.startUs - b.startUs) : proposed;
}

/** Those of the proposed swings that nobody has said to be none. */
export function withoutRejected<T extends Span>(proposed: readonly T[], labels: Pick<Labels, 'spans'>): T[] {
  const rejected = labels.spans.filter((span) => span.kind === NO_SWING);
  return proposed.filter((swing) => !rejected.some((span) => overlap(span, swing)));
}

/**
 * The gestures of a kind that scores use, in time order: a person's, and of the others those that none of these
 * overlaps; a simulation's before the program's likewise.
 */
export function settleGestures(labels: Labels, kind: GestureKind): GestureLabel[] {
  const settled: GestureLabel[] = [];
  for (const by of BEST_FIRST) {
    const better = [...settled];
    for (const gesture of labels.gestures ?? []) {
      if (gesture.kind !== kind || gesture.by !== by) continue;
      if (!better.some((other) => overlap(other, gesture))) settled.push(gesture);
    }
  }
  return settled.sort((a, b) => a.startUs - b.startUs || a.endUs - b.endUs);
}

/** Whether two stretches share more than a moment. */
export function overlap(a: Span, b: Span): boolean {
  return a.startUs < b.endUs && b.startUs < a.endUs;
}

/** What the program would label, for a person to confirm: none of it where a label stands already. In time order. */
export interface Proposals {
  readonly strays: readonly PressLabel[];
  readonly spinning: readonly SpanLabel[];
  readonly still: readonly SpanLabel[];
  readonly swings: readonly SwingLabel[];
  readonly gestures: readonly GestureLabel[];
}
