import type { KeptSetting, WrongPressStill } from '../../kept/keptSetting.ts';
import type { Change } from '../../kept/stale.ts';
import { CAUTIONS } from '../../words/cautions.ts';
import { listed, moment } from '../../words/count.ts';
import { keptMountText } from '../../words/mount.ts';
import { outOfDateTexts } from '../heading.ts';
import { methodTexts } from './method.ts';
import { type ToldProblem, toldProblem } from './problems.ts';
import { type ScoreTable, scoreTable } from './scores.ts';
import { leftOutTexts, signalCautions, syntheticText, type ToldTake, toldTakes } from './takes.ts';
import { type ValueGroup, valueGroups } from './values.ts';

/** What a sheet is made of: a kept setting, or a candidate that nobody has kept. */
export type SheetSetting = Omit<KeptSetting, 'keptAt'> & { readonly keptAt: string | null };

/** All that a sheet says, before it is HTML or Markdown: both say the same. */
export interface Sheet {
  readonly title: string;
  readonly facts: readonly (readonly [name: string, text: string])[];
  readonly note: string;
  /** What a reader has to know before any number. */
  readonly warnings: readonly string[];
  readonly groups: readonly ValueGroup[];
  /** null where nothing was scored. */
  readonly scores: ScoreTable | null;
  readonly problems: readonly ToldProblem[];
  readonly stills: readonly ToldStill[];
  readonly takes: readonly ToldTake[];
  readonly leftOut: readonly string[];
  readonly signals: readonly string[];
  readonly cautions: readonly string[];
  readonly method: readonly string[];
  /** A line each to write on. */
  readonly toSign: readonly string[];
}

const NOT_JUDGED =
  'Not judged on any take: nothing on this sheet says how well these values do. Keep the setting in the workbench and judge it there.';

/** @param changes  since it was judged, where the takes are at hand. */
export function sheetOf(setting: SheetSetting, changes: readonly Change[] = []): Sheet {
  const { name, note, candidate, evidence } = setting;
  const takes = evidence?.takes ?? [];
  return {
    title: name,
    facts: factsOf(setting),
    note,
    warnings: [...outOfDateTexts(changes), ...warningsOf(setting)],
    groups: valueGroups(candidate, evidence?.chosen ?? null),
    scores: evidence === null ? null : scoreTable(evidence),
    problems: (evidence?.problems ?? []).map(toldProblem),
    stills: (evidence?.stills ?? []).map(toldStill),
    takes: toldTakes(takes),
    leftOut: leftOutTexts(takes),
    signals: signalCautions(takes),
    cautions: CAUTIONS,
    method: evidence === null ? [] : methodTexts(evidence),
    toSign: ['Tried on the prop by', 'Date', 'Firmware or prop number'],
  };
}

/** A press that the guard gets wrong: its picture, and what it shows. */
export interface ToldStill {
  readonly still: WrongPressStill;
  readonly caption: string;
}

function toldStill(still: WrongPressStill): ToldStill {
  const { title, atUs, intent, text } = still;
  return { still, caption: `${title}, ${moment(atUs)}: ${intent} press ${text}.` };
}

function factsOf({ prop, performers, keptAt, evidence }: SheetSetting): Sheet['facts'] {
  const counting = evidence?.takes.filter(({ leftOut }) => leftOut === null).length ?? 0;
  const judged: Sheet['facts'] =
    evidence === null
      ? [['Judged', 'not on any take']]
      : [
          [
            'Judged',
            `${momentText(evidence.judgedAt)}, on ${counting} of ${evidence.takes.length} takes, by Moulinet ${evidence.program}`,
          ],
        ];
  return [
    ['Prop', prop === '' ? 'any' : prop],
    ['Performers', performers.length === 0 ? 'anybody' : listed(performers)],
    ...(keptAt === null ? [] : [['Kept', momentText(keptAt)] as const]),
    ...judged,
  ];
}

function warningsOf({ evidence }: SheetSetting): string[] {
  if (evidence === null) return [NOT_JUDGED];
  const counting = evidence.takes.filter(({ leftOut }) => leftOut === null);
  if (counting.length === 0) return ['No take counts: nothing on this sheet says how well these values do.'];
  const synthetic = syntheticText(counting);
  return [keptMountText(counting), synthetic].filter((text) => text !== '');
}

/** `2026-05-02T09:15:00.000Z` as `2026-05-02, 09:15 UTC`. */
function momentText(iso: string): string {
  const [, date, time, zone] = /^(.{10})T(\d\d:\d\d)[^Z+-]*(.*)$/.exec(iso) ?? [];
  return date === undefined ? iso : `${date}, ${time} ${zone === 'Z' ? 'UTC' : `UTC${zone}`}`;
}
