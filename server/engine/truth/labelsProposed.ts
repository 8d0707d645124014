import type { Press, Span } from '../base/log.ts';
import {
  GESTURE_KINDS,
  type GestureLabel,
  intentOf,
  type Labels,
  overlap,
  type Proposals,
  type SpanLabel,
  type SwingLabel,
  withoutRejected,
} from '../labels/labels.ts';
import type { CandidateMotion } from '../motion/motion.ts';
import { proposeSpinning, proposeStill } from './spans.ts';
import type { Truth } from './truth.ts';

/**
 * The labels that are still to confirm. A press inside a spin is proposed as a stray one.
 * @param args  `truth` as found from the same motion and labels; `presses` of the button that the guard judges;
 * `gestures` as `proposeGestures` finds them in the motion, whatever the labels.
 */
export function proposeLabels(args: {
  readonly motion: CandidateMotion;
  readonly truth: Pick<Truth, 'swings' | 'spinning'>;
  readonly labels: Labels;
  readonly presses: readonly Press[];
  readonly gestures: readonly GestureLabel[];
}): Proposals {
  const { motion, truth, labels, presses } = args;
  const isFree = (span: SpanLabel) =>
    !labels.spans.some((given) => given.kind === span.kind && overlap(given, span));
  return {
    strays: presses
      .filter((press) => intentOf(labels, press) === null && isInside(press.downUs, truth.spinning))
      .map(({ downUs, button }) => ({ downUs, button, intent: 'stray', by: 'program' })),
    spinning: withoutRejected(proposeSpinning(motion, truth.swings), labels, 'spinning')
      .map((span) => spanLabel(span, 'spinning'))
      .filter(isFree),
    still: withoutRejected(proposeStill(motion), labels, 'still')
      .map((span) => spanLabel(span, 'still'))
      .filter(isFree),
    swings: unlabelledSwings(truth, labels),
    gestures: unlabelledGestures(args.gestures, labels),
  };
}

/** Swings that scores already count, though nobody has labelled them. */
function unlabelledSwings({ swings }: Pick<Truth, 'swings'>, labels: Labels): SwingLabel[] {
  const stored = new Set(labels.swings.map(({ peakUs, startUs }) => `${peakUs} ${startUs}`));
  return swings
    .filter(({ by, peakUs, startUs }) => by === 'program' && !stored.has(`${peakUs} ${startUs}`))
    .map(({ startUs, endUs, peakUs, by }) => ({ startUs, endUs, peakUs, by }));
}

/** The proposed gestures that no label of their kind overlaps, and that nobody rejected. */
export function unlabelledGestures(proposed: readonly GestureLabel[], labels: Labels): GestureLabel[] {
  const { gestures = [] } = labels;
  return GESTURE_KINDS.flatMap((kind) =>
    withoutRejected(
      proposed.filter((one) => one.kind === kind),
      labels,
      kind,
    ),
  )
    .filter((one) => !gestures.some((given) => given.kind === one.kind && overlap(given, one)))
    .sort((a, b) => a.startUs - b.startUs);
}

function isInside(momentUs: number, spans: readonly Span[]): boolean {
  return spans.some(({ startUs, endUs }) => startUs <= momentUs && momentUs <= endUs);
}

function spanLabel({ startUs, endUs }: Span, kind: string): SpanLabel {
  return { startUs, endUs, kind, by: 'program' };
}
