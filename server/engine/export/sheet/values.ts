import { isWindowed } from '../../filter/smoothing.ts';
import { groupTitle } from '../../kept/candidateSchema.ts';
import type { ChosenBy, SettingEvidence } from '../../kept/keptSetting.ts';
import type { Candidate } from '../../settings/candidate.ts';
import { FIELD_PATHS, readField, settingAt } from '../../settings/candidateRules.ts';
import { withUnit } from '../../words/choose/problems.ts';
import { figure } from '../../words/count.ts';

/** The values of the smoothing or of one detector. */
export interface ValueGroup {
  readonly id: keyof Candidate;
  readonly title: string;
  /** What it does, in a sentence. */
  readonly says: string;
  /** Who chose it; '' where nobody has said. */
  readonly chosen: string;
  readonly values: readonly ToldValue[];
}

export interface ToldValue {
  /** What it means; the value follows. */
  readonly label: string;
  readonly value: string;
  /** '' where it has none. */
  readonly unit: string;
  /** What it comes to, where it is a part of another value; else ''. */
  readonly aside: string;
}

const SAYS: Readonly<Record<keyof Candidate, string>> = {
  smoothing:
    'Takes noise off rates and thrust before anything is decided, and makes all of it a little later.',
  guard:
    'Refuses the power button while the blade swings and for a while after, so that a stray press does not switch it off.',
  deflection: 'Fires once a swing, as soon as the blade is fast enough.',
  stab: 'Fires where a thrust of a quiet blade ends in a hit.',
  impact: 'Fires where the blade meets something: a jolt above a level that rises with the swing speed.',
  twist: 'Fires where the grip turns far enough in time; a dial counts the turn in steps.',
};

const CHOSEN: Readonly<Record<ChosenBy, string>> = {
  suggested: 'as suggested on these takes',
  default: 'the program’s default',
  hand: 'chosen by hand',
};

export function valueGroups(candidate: Candidate, chosen: SettingEvidence['chosen'] | null): ValueGroup[] {
  const paths = FIELD_PATHS.filter((path) => isUsed(path, candidate));
  const groups = [...new Set(paths.map((path) => path.slice(0, path.indexOf('.')) as keyof Candidate))];
  return groups.map((id) => ({
    id,
    title: groupTitle(id),
    says: SAYS[id],
    chosen: chosen === null ? '' : CHOSEN[chosen[id]],
    values: paths.filter((path) => path.startsWith(`${id}.`)).map((path) => toldValue(path, candidate)),
  }));
}

function toldValue(path: string, candidate: Candidate): ToldValue {
  const setting = settingAt(path);
  const value = readField(candidate, path);
  if (setting.kind === 'choice') {
    const shown = setting.choices.find(([one]) => one === value)?.[1] ?? String(value);
    return { label: setting.name, value: shown, unit: '', aside: '' };
  }
  const { label, unit, partOf } = setting;
  return {
    label,
    value: String(value),
    unit,
    aside: partOf ? resolved(Number(value), partOf, candidate) : '',
  };
}

/** A part of another value as what it comes to. */
function resolved(part: number, path: string, candidate: Candidate): string {
  return `= ${withUnit(Number(figure(part * Number(readField(candidate, path)), 4)), settingAt(path).unit)}`;
}

/** Values that make no difference with the others as they are: nothing to type off. */
function isUsed(path: string, candidate: Candidate): boolean {
  const setting = settingAt(path);
  const only = setting.kind === 'number' ? setting.onlyWith : undefined;
  if (only && !only.values.includes(readField(candidate, only.path))) return false;
  const { kind } = candidate.smoothing;
  switch (path) {
    case 'smoothing.order':
      return kind === 'butterworth';
    case 'smoothing.cutoffHz':
      return kind === 'butterworth' || kind === 'firstOrder';
    case 'smoothing.lengthMs':
      return isWindowed(kind);
    default:
      return true;
  }
}
