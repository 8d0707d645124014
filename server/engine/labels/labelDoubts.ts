import type { Span } from '../base/log.ts';
import { type Labels, NO_SWING, overlap, type PressLabel, RANK } from './labels.ts';

/** A way in which two labels contradict each other. */
export type DoubtKind = 'bothWays' | 'wantedInSpin' | 'spinAndStill' | 'swingDenied';

export interface LabelDoubt {
  readonly kind: DoubtKind;
  /** Time of the press, of the start of the overlap, or of the swing's peak. */
  readonly atUs: number;
}

/**
 * Labels of people and simulations that contradict one another, kind by kind in time order: a press that labellers of
 * one rank call both wanted and stray; a press called wanted inside a span called spinning; a span called spinning and
 * one called still that overlap; and a swing whose peak lies in a span called still or no swing. For a press the label
 * of the best labeller counts, and contradicts no other.
 */
export function labelDoubts(labels: Labels): LabelDoubt[] {
  const spans = (kind: string) => labels.spans.filter((span) => span.kind === kind && span.by !== 'program');
  const [spinning, still, none] = [spans('spinning'), spans('still'), spans(NO_SWING)];
  const swings = labels.swings.filter(({ by }) => by !== 'program');
  const wanted = bestOfEach(labels.presses).filter(
    ({ intent, by }) => intent === 'wanted' && by !== 'program',
  );
  const doubts = (kind: DoubtKind, momentsUs: readonly number[]): LabelDoubt[] =>
    [...new Set(momentsUs)].sort((a, b) => a - b).map((atUs) => ({ kind, atUs }));
  return [
    ...doubts('bothWays', labelledBothWays(labels)),
    ...doubts(
      'wantedInSpin',
      wanted.map(({ downUs }) => downUs).filter((us) => spinning.some((span) => isWithin(span, us))),
    ),
    ...doubts(
      'spinAndStill',
      spinning.flatMap((spin) =>
        still.filter((span) => overlap(span, spin)).map((span) => Math.max(span.startUs, spin.startUs)),
      ),
    ),
    ...doubts(
      'swingDenied',
      swings
        .filter(({ peakUs, by }) =>
          [...still, ...none].some((span) => span.by === by && isWithin(span, peakUs)),
        )
        .map(({ peakUs }) => peakUs),
    ),
  ];
}

/** Times of presses that their best labeller calls both wanted and stray; in time order. */
export function labelledBothWays(labels: Pick<Labels, 'presses'>): number[] {
  const best = new Map(bestOfEach(labels.presses).map((label) => [pressOf(label), label]));
  const intents = new Map<string, Set<string>>();
  const found = new Set<number>();
  for (const label of labels.presses) {
    const press = pressOf(label);
    if (label.intent === 'unsure' || label.by !== best.get(press)!.by) continue;
    const own = intents.get(press) ?? new Set();
    intents.set(press, own.add(label.intent));
    if (own.size > 1) found.add(label.downUs);
  }
  return [...found].sort((a, b) => a - b);
}

function bestOfEach(presses: readonly PressLabel[]): PressLabel[] {
  const best = new Map<string, PressLabel>();
  for (const label of presses) {
    const press = pressOf(label);
    const known = best.get(press);
    if (!known || RANK[label.by] < RANK[known.by]) best.set(press, label);
  }
  return [...best.values()];
}

function pressOf({ button, downUs }: PressLabel): string {
  return `${button} ${downUs}`;
}

function isWithin({ startUs, endUs }: Span, momentUs: number): boolean {
  return startUs < momentUs && momentUs < endUs;
}
