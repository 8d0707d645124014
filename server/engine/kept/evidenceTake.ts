import { powerPressesOf, type TakeButtons } from '../base/buttons.ts';
import type { Press } from '../base/log.ts';
import { type RecordedOn, sessionName } from '../base/session.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { assumesMount, type SignalCheck } from '../check/checkSignals.ts';
import type { Unfit } from '../choose/unfit.ts';
import { intentOf, type Labels } from '../labels/labels.ts';
import { wordedCheck } from '../words/check/check.ts';
import { unfitText } from '../words/choose/unfit.ts';
import { fingerprint } from './fingerprint.ts';
import type { EvidenceTake, LabelCounts } from './keptSetting.ts';

/** A take's document, as far as evidence tells of it. */
export interface TakeFacts extends TakeBasis, RecordedOn {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly isDemo: boolean;
  readonly sources: readonly { readonly name: string; readonly sha256: string }[];
  readonly presses: readonly Press[];
}

/** All of a document that a judgement rests on, besides the source. */
export interface TakeBasis {
  readonly labels: Labels;
  readonly calibration: Calibration;
  readonly mapping: TakeButtons['mapping'] & object;
  readonly powerButton: string | null;
  /** As somebody has said it. */
  readonly deflectionButton?: string | null;
  readonly useUnfit?: boolean;
}

/** @param unfit  what the signal check says against choosing on the take; null where nothing does. */
export function evidenceTake(facts: TakeFacts, check: SignalCheck, unfit: Unfit | null): EvidenceTake {
  const { id, title, performer, prop = '', isDemo, sources, useUnfit = false } = facts;
  const cautions = wordedCheck(check).lines.flatMap(({ distrust }) => (distrust === null ? [] : [distrust]));
  return {
    id,
    title,
    performer,
    prop,
    session: sessionName(facts),
    isSynthetic: isDemo || isLabelledBySimulation(facts.labels),
    isMountAssumed: assumesMount(check),
    sources: sources.map(({ name, sha256 }) => ({ name, sha256 })),
    fingerprint: basisFingerprint(facts),
    labels: labelCounts(facts),
    leftOut: unfit === null || useUnfit ? null : unfitText(unfit),
    cautions,
  };
}

function isLabelledBySimulation({ presses, spans, swings, gestures = [] }: Labels): boolean {
  return [presses, spans, swings, gestures].some((list) => list.some(({ by }) => by === 'simulation'));
}

/** Changes with whatever of a take's document a judgement rests on; names and notes make no difference. */
export function basisFingerprint({
  labels,
  calibration,
  mapping,
  powerButton,
  deflectionButton,
  useUnfit = false,
}: TakeBasis): string {
  const { presses, spans, swings, gestures = [] } = labels;
  // As long as nobody has said which the deflection button is, it follows from the rest.
  const stated = deflectionButton === undefined ? [] : [deflectionButton];
  return fingerprint(
    JSON.stringify([
      presses,
      spans,
      swings,
      gestures,
      calibration,
      mapping,
      powerButton,
      useUnfit,
      ...stated,
    ]),
  );
}

/** Counts of what is labelled; presses are those of the power button. */
function labelCounts({ labels, presses, powerButton }: TakeFacts): LabelCounts {
  const intents = powerPressesOf({ presses, powerButton }).flatMap((press) => {
    const label = intentOf(labels, press);
    return label === null || label.intent === 'unsure' ? [] : [label];
  });
  const of = (intent: 'stray' | 'wanted') => intents.filter((label) => label.intent === intent).length;
  const spins = labels.spans.filter(({ kind }) => kind === 'spinning');
  const gestures = labels.gestures ?? [];
  const all = [...intents, ...labels.swings, ...spins, ...gestures];
  return {
    stray: of('stray'),
    wanted: of('wanted'),
    swings: labels.swings.length,
    spins: spins.length,
    gestures: gestures.length,
    byPerson: all.filter(({ by }) => by === 'person').length,
  };
}
