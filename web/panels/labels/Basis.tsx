import { useMemo } from 'preact/hooks';
import {
  intentOf,
  isGivenSpin,
  type LabelBy,
  type Labels,
  settleGestures,
} from '../../../server/engine/labels/labels.ts';
import { counted } from '../../../server/engine/words/count.ts';
import { openLabels, powerPresses } from '../../state/openTake.ts';
import { spinning, truth, type Verdicts } from '../../state/verdicts.ts';

const SHORT: Readonly<Record<LabelBy, string>> = {
  person: 'by a person',
  simulation: 'from the simulation',
  program: 'proposed by the program',
};

/** Whose labels the scores rest on, kind by kind: nothing is scored on a proposal without saying so. */
export function Basis({ verdict }: { readonly verdict: Verdicts }) {
  const labels = openLabels.value;
  const swings = truth.value?.swings ?? [];
  const { unlabelled, unknown } = verdict.guardScore;
  const power = powerPresses.value;
  const presses = useMemo(
    () => power.flatMap((press) => intentOf(labels, press) ?? []).filter(({ intent }) => intent !== 'unsure'),
    [power, labels],
  );
  const gestures = (['thrust', 'hit', 'twist'] as const).flatMap((kind) => settleGestures(labels, kind));
  const sentences = [
    `${counted(presses.length, 'press label')}${whose(presses)}`,
    ...(unlabelled > 0 ? [`${unlabelled} of the presses unlabelled or unsure`] : []),
    ...(unknown > 0 ? [`${unknown} without data`] : []),
    ...(swings.length > 0 ? [`${swings.length} swings${whose(swings)}`] : []),
    ...(spinning.value.spans.length > 0 ? [spinText(labels)] : []),
    ...(gestures.length > 0 ? [`${gestures.length} gestures${whose(gestures)}`] : []),
  ];
  return <p class="basis">Rests on {sentences.join('; ')}.</p>;
}

function spinText(labels: Labels): string {
  const { spans, areProposed } = spinning.value;
  const given = labels.spans.filter(isGivenSpin);
  return `${counted(spans.length, 'spin')}${areProposed ? ` (${SHORT.program})` : whose(given)}`;
}

function whose(labels: readonly { readonly by: LabelBy }[]): string {
  const makers = (['person', 'simulation', 'program'] as const)
    .map((by) => ({ by, count: labels.filter((label) => label.by === by).length }))
    .filter(({ count }) => count > 0);
  if (makers.length === 0) return '';
  if (makers.length === 1) return ` (${SHORT[makers[0]!.by]})`;
  return ` (${makers.map(({ by, count }) => `${count} ${SHORT[by]}`).join(', ')})`;
}
