import type { EvidenceTake, LabelCounts } from '../../kept/keptSetting.ts';
import { counted, listed } from '../../words/count.ts';

/** A take that counts, as a row of the sheet. */
export interface ToldTake {
  readonly title: string;
  readonly performer: string;
  /** Prop and session, as far as anything is said of them. */
  readonly where: string;
  readonly isSynthetic: boolean;
  /** Each recording with the beginning of its hash. */
  readonly sources: readonly { readonly name: string; readonly hash: string }[];
  readonly labels: string;
}

const HASH_DIGITS = 12;

export function toldTakes(takes: readonly EvidenceTake[]): ToldTake[] {
  return takes
    .filter(({ leftOut }) => leftOut === null)
    .map(({ title, performer, prop, session, isSynthetic, sources, labels }) => ({
      title,
      performer: performer === '' ? 'no name' : performer,
      where: [prop, session].filter((one) => one !== '').join(' · '),
      isSynthetic,
      sources: sources.map(({ name, sha256 }) => ({ name, hash: sha256.slice(0, HASH_DIGITS) })),
      labels: labelsText(labels),
    }));
}

/** Takes left out, a sentence each. */
export function leftOutTexts(takes: readonly EvidenceTake[]): string[] {
  return takes.flatMap(({ title, performer, leftOut }) =>
    leftOut === null ? [] : [`${title}${performer === '' ? '' : ` (${performer})`}: ${leftOut}.`],
  );
}

/** What not to trust in takes that count, each thing once, with the takes that it holds for. */
export function signalCautions(takes: readonly EvidenceTake[]): string[] {
  const counting = takes.filter(({ leftOut }) => leftOut === null);
  const all = [...new Set(counting.flatMap(({ cautions }) => cautions))];
  return all.map((caution) => {
    const titles = counting.filter(({ cautions }) => cautions.includes(caution)).map(({ title }) => title);
    const where = titles.length === counting.length && titles.length > 1 ? 'every take' : listed(titles);
    return `${caution}: ${where}`;
  });
}

/** That some or all takes are simulated; '' where none is. */
export function syntheticText(counting: readonly EvidenceTake[]): string {
  const count = counting.filter(({ isSynthetic }) => isSynthetic).length;
  if (count === 0) return '';
  const which =
    count === counting.length
      ? 'All takes are synthetic'
      : `${counted(count, 'take is', 'takes are')} synthetic, of ${counting.length}`;
  return `${which}: they come from a simulation, and prove nothing of a real prop.`;
}

function labelsText({ stray, wanted, swings, spins, gestures, byPerson }: LabelCounts): string {
  const kinds = [
    ...(stray > 0 ? [counted(stray, 'stray press', 'stray presses')] : []),
    ...(wanted > 0 ? [counted(wanted, 'wanted press', 'wanted presses')] : []),
    ...(swings > 0 ? [counted(swings, 'swing')] : []),
    ...(spins > 0 ? [counted(spins, 'spin')] : []),
    ...(gestures > 0 ? [counted(gestures, 'gesture')] : []),
  ];
  if (kinds.length === 0) return 'no labels';
  const all = stray + wanted + swings + spins + gestures;
  const who =
    byPerson === all
      ? 'all by a person'
      : byPerson === 0
        ? 'none by a person'
        : `${byPerson} of ${all} by a person`;
  return `${kinds.join(', ')}; ${who}`;
}
