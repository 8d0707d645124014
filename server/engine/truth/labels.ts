import type { Press, Span } from '../log.ts';

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

export interface Labels {
  readonly presses: readonly PressLabel[];
  readonly spans: readonly SpanLabel[];
  readonly swings: readonly SwingLabel[];
}

export const EMPTY_LABELS: Labels = Object.freeze({
  presses: Object.freeze([]),
  spans: Object.freeze([]),
  swings: Object.freeze([]),
});

/** The label that holds for a press: a person's before a simulation's before the program's; null where there is none. */
export function intentOf(labels: Labels, press: Press): PressLabel | null {
  let best: PressLabel | null = null;
  for (const label of labels.presses) {
    if (label.downUs !== press.downUs || label.button !== press.button) continue;
    if (best === null || RANK[label.by] < RANK[best.by]) best = label;
  }
  return best;
}

/** Labels made by whom count before those made by whom else. */
export const RANK: Readonly<Record<LabelBy, number>> = { person: 0, simulation: 1, program: 2 };

/** The spinning spans that a person or a simulation gave, in time order, or `proposed` where neither gave any. */
export function spinningSpans(labels: Labels, proposed: readonly Span[]): readonly Span[] {
  const given = labels.spans.filter((span) => span.kind === 'spinning' && span.by !== 'program');
  return given.length > 0 ? given.sort((a, b) => a.startUs - b.startUs) : proposed;
}
