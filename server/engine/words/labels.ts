import type { DoubtKind, LabelDoubt } from '../labels/labelDoubts.ts';
import type { LabelsLeftOut } from '../labels/labelsFit.ts';
import { SPIN_MAX_PAUSE_MS, SPIN_MIN_SWINGS, SPIN_MIN_TURN_DEG } from '../truth/spans.ts';
import { counted, moments, plural } from './count.ts';

/** A sentence about the labels that do not fit a take. */
export function leftOutText(leftOut: LabelsLeftOut): string {
  const { noSuchPress, noSuchButton, unknownButtons, knownButtons, beyondEnd, emptied } = leftOut;
  const pressed =
    knownButtons.length === 0
      ? 'none is pressed'
      : `${quoted(knownButtons)} ${plural(knownButtons.length, 'is', 'are')} pressed`;
  const parts: [number, string][] = [
    [noSuchPress, `of ${plural(noSuchPress, 'a press', 'presses')} that this take does not hold`],
    [noSuchButton, `of the button ${quoted(unknownButtons)}, while in this take ${pressed}`],
    [beyondEnd, 'beyond the end of the take'],
    [emptied, 'of a stretch of which no row is left'],
  ];
  const said = parts.flatMap(([count, why]) => (count > 0 ? [`${counted(count, 'label')} ${why}`] : []));
  return `Left out: ${said.join('; ')}.`;
}

function quoted(names: readonly string[]): string {
  return names.map((name) => `“${name}”`).join(', ');
}

/** What counts as a spin, where some that are proposed run fast and slow swings together; '' where none does. */
export function mixedSpinsText(mixed: number): string {
  if (mixed === 0) return '';
  const turns = SPIN_MIN_TURN_DEG / 360;
  return `${counted(mixed, 'proposed spin runs', 'proposed spins run')} fast and slow swings together: a spin is ${SPIN_MIN_SWINGS} swings or more, or ${turns} turns, each swing within ${SPIN_MAX_PAUSE_MS / 1000} s of the one before, at whatever speed. Where they are different figures to you, label them apart (L).`;
}

/** A sentence for each kind of doubt, with its moments. */
export function doubtTexts(doubts: readonly LabelDoubt[]): string[] {
  return (Object.keys(DOUBTS) as DoubtKind[]).flatMap((kind) => {
    const atUs = doubts.filter((doubt) => doubt.kind === kind).map((doubt) => doubt.atUs);
    return atUs.length === 0 ? [] : [DOUBTS[kind](atUs.length, moments(atUs, MOST_MOMENTS))];
  });
}

/** Moments that are written out. */
const MOST_MOMENTS = 4;

const DOUBTS: Readonly<Record<DoubtKind, (count: number, at: string) => string>> = {
  bothWays: (n, at) =>
    `${presses(n, at)} labelled both wanted and stray: until you decide, the first label counts`,
  wantedInSpin: (n, at) =>
    `${presses(n, at)} labelled wanted inside a span labelled spinning; one of the two is wrong, or the span ends too late`,
  spinAndStill: (n, at) =>
    `${plural(n, 'a span', `${n} spans`)} labelled spinning and ${plural(n, 'one', 'some')} labelled still overlap, from ${at} on; shorten one of the two`,
  swingDenied: (n, at) =>
    `${plural(n, 'the swing', `${n} swings`)} at ${at} ${plural(n, 'lies', 'lie')} where the labels say that the blade is still, or that there is none; remove the one or the other`,
};

function presses(count: number, at: string): string {
  return `${plural(count, 'the press', `${count} presses`)} at ${at} ${plural(count, 'is', 'are')}`;
}
