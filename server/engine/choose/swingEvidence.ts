import { sampleRanges } from '../base/sampleRanges.ts';
import { labelDoubts } from '../labels/labelDoubts.ts';
import type { LabelBy } from '../labels/labels.ts';
import { unfitOf } from './evidence.ts';
import type { ChoiceTake } from './takeSweep.ts';

/** What a take's swings are worth for choosing a deflection. */
export interface SwingEvidence {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly swings: number;
  /** Who made them: the program's are proposals that nobody has confirmed. */
  readonly by: Readonly<Record<LabelBy, number>>;
  /** Time outside any swing: only there can a fire belong to none. */
  readonly outsideS: number;
  /** Peaks of labelled swings that the same kind of labeller says lie in stillness, or are none. */
  readonly contradictionsUs: readonly number[];
  /** A sentence if nothing can be chosen on this take's signals. */
  readonly unfit: string | null;
}

export function swingEvidenceOf(take: ChoiceTake): SwingEvidence {
  const { id, title, performer, signals, labels, truth } = take;
  const by = { person: 0, program: 0, simulation: 0 };
  for (const swing of truth.swings) ++by[swing.by];
  let inside = 0;
  for (const { start, end } of sampleRanges(signals.timeUs, truth.swings)) inside += end - start;
  return {
    id,
    title,
    performer,
    swings: truth.swings.length,
    by,
    outsideS: (signals.timeUs.length - inside) / signals.rateHz,
    contradictionsUs: labelDoubts(labels).flatMap(({ kind, atUs }) => (kind === 'swingDenied' ? [atUs] : [])),
    unfit: unfitOf(take),
  };
}
