import { groupTitle } from '../../kept/candidateSchema.ts';
import type {
  Counted,
  Counts,
  HeldOutEvidence,
  ProblemEvidence,
  SettingMargin,
  StressEvidence,
} from '../../kept/keptSetting.ts';
import { sweptPaths } from '../../kept/sweptPaths.ts';
import type { Candidate } from '../../settings/candidate.ts';
import { type NumberPath, settingAt } from '../../settings/candidateRules.ts';
import { PROBLEM_WORDS, STRESS_WORDS, withUnit } from '../../words/choose/problems.ts';
import { claimTexts } from '../../words/choose/suggestion.ts';
import { counted, percentRange } from '../../words/count.ts';
import { type MapFacts, mapFacts } from './mapFacts.ts';

/** How two values stand, in sentences under their heads. */
export interface ToldProblem {
  readonly title: string;
  /** The two values as a headline. */
  readonly setting: string;
  /** Where nothing can be said by these takes: why, and nothing else is told. */
  readonly declined: string | null;
  readonly paragraphs: readonly { readonly head: string; readonly text: string }[];
  readonly map: MapFacts | null;
}

export function toldProblem(problem: ProblemEvidence): ToldProblem {
  const { kind, x, y, declined, map } = problem;
  const words = PROBLEM_WORDS[kind];
  const told = { title: titleOf(problem), setting: words.setting(x, y) };
  if (declined !== null) return { ...told, declined, paragraphs: [], map: null };
  return {
    ...told,
    declined: null,
    paragraphs: [
      { head: 'On these takes', text: `${countsText(problem, problem.wrong)}.` },
      { head: 'Room', text: roomTexts(problem).join(' ') },
      { head: 'Chosen on the others, scored on this one', text: heldOutText(problem) },
      { head: 'Under stress', text: stressText(problem.stress) },
      { head: 'What would change it', text: changeText(problem) },
    ].filter(({ text }) => text !== ''),
    map: map === null ? null : mapFacts(problem, map),
  };
}

export function titleOf({ kind }: Pick<ProblemEvidence, 'kind'>): string {
  const group = (kind === 'motion' ? 'guard' : kind) as keyof Candidate;
  return `${groupTitle(group)}${kind === 'motion' ? ', by motion alone' : ''}`;
}

/** "0 of 29 stray presses let through (about 95 %: 0–12 %), ..." */
function countsText({ kind }: Pick<ProblemEvidence, 'kind'>, wrong: Counts): string {
  const sure = kind === 'motion' ? 'at least 95 %' : 'about 95 %';
  const { counts, unit } = PROBLEM_WORDS[kind];
  const parts = Object.entries(counts).flatMap(([part, noun]) => {
    const count = wrong[part];
    return count === undefined ? [] : [countText(count, noun, sure)];
  });
  return parts.length === 0 ? `no ${unit} was judged` : parts.join('; ');
}

function countText(
  { k, n, interval }: Counted,
  { one, several }: { readonly one: string; readonly several: string },
  sure: string,
): string {
  if (interval === null) return n === 0 ? `nothing to count ${several} by` : counted(k, one, several);
  return `${k} of ${n} ${several} (${sure}: ${percentRange(interval)})`;
}

/** How far each value can change. */
function roomTexts({ kind, x, y, margins }: ProblemEvidence): string[] {
  if (margins === null) return [];
  const paths = sweptPaths(kind);
  const isGuard = kind === 'guard' || kind === 'motion';
  return [
    roomText(paths.x, x, margins.x),
    roomText(paths.y, y, margins.y),
    ...(isGuard
      ? ['Reversals at which the guard opens and quiet time in which it is closed count too.']
      : []),
  ];
}

function roomText(
  path: NumberPath,
  own: number,
  { low, high, worseBelow, worseAbove }: SettingMargin,
): string {
  const { name, unit } = settingAt(path);
  const at = (value: number) => withUnit(value, unit);
  const isAlone = low === own && high === own;
  const range = isAlone ? `${name}: ${at(own)} stands alone` : `${name}: ${low} to ${at(high)} do no worse`;
  const worse = [worseBelow, worseAbove].filter((value) => value !== null).map(at);
  const borders = worse.length === 0 ? [] : [`at ${worse.join(' and at ')} more goes wrong`];
  const untried = [
    ...(worseBelow === null ? [`below ${at(low)}`] : []),
    ...(worseAbove === null ? [`above ${at(high)}`] : []),
  ];
  const ends = untried.length === 0 ? [] : [`${untried.join(' and ')} no suggestion was looked for`];
  return `${[range, ...borders, ...ends].join('; ')}.`;
}

/** Chosen anew without one take or performer: it tells of the program's choice, and says so where that is another. */
function heldOutText(problem: ProblemEvidence): string {
  const { byTake, byPerformer } = problem;
  const told = [
    byTake === null ? 'There is one take only.' : heldText(problem, byTake, 'take'),
    byPerformer === null ? 'There is one performer only.' : heldText(problem, byPerformer, 'performer'),
  ];
  const isOther = (byTake ?? byPerformer) !== null && !isSuggested(problem);
  return [...told, ...(isOther ? ['This tells of the program’s choice, not of the values above.'] : [])].join(
    ' ',
  );
}

function heldText(problem: ProblemEvidence, { folds, wrong, worst }: HeldOutEvidence, unit: string): string {
  if (folds === 0) return `No ${unit} can be left out: the others are too few to choose by.`;
  const worse =
    worst === null || sumOf(worst.wrong) === 0
      ? ''
      : ` Most wrong: ${worst.name} (${briefCounts(problem, worst.wrong)}).`;
  return `${counted(folds, unit)} in turn: ${briefCounts(problem, wrong)}.${worse}`;
}

/** `0 of 40 stray presses let through, 1 of 32 wanted presses refused`. */
export function briefCounts({ kind }: Pick<ProblemEvidence, 'kind'>, wrong: Counts): string {
  return Object.entries(PROBLEM_WORDS[kind].counts)
    .flatMap(([part, { one, several }]) => {
      const count = wrong[part];
      if (count === undefined) return [];
      const { k, n, interval } = count;
      return [interval === null ? counted(k, one, several) : `${k} of ${n} ${several}`];
    })
    .join(', ');
}

function sumOf(counts: Counts): number {
  return Object.values(counts).reduce((sum, { k }) => sum + k, 0);
}

/** What turns round under each stress, and with which ones nothing does. */
function stressText(stress: readonly StressEvidence[]): string {
  const named = ({ name }: StressEvidence) => STRESS_WORDS[name] ?? name;
  const calm = stress.filter(({ flips, moreFires }) => flips + moreFires === 0);
  const turned = stress
    .filter((one) => !calm.includes(one))
    .map((one) => {
      const turns = [
        ...(one.flips > 0 ? [counted(one.flips, 'verdict turns', 'verdicts turn')] : []),
        ...(one.moreFires > 0 ? [counted(one.moreFires, 'more fire')] : []),
      ];
      return `${named(one)}: ${turns.join(', ')}`;
    });
  const none = calm.length === 0 ? [] : [`${calm.map(named).join(', ')}: no verdict turns`];
  return stress.length === 0 ? '' : `${capital([...turned, ...none].join('; '))}.`;
}

function changeText(problem: ProblemEvidence): string {
  const { kind, wrong, suggested } = problem;
  const words = PROBLEM_WORDS[kind];
  const choice =
    suggested === null || isSuggested(problem)
      ? []
      : [`On these takes the program suggests ${words.setting(suggested.x, suggested.y)}.`];
  const isClaimed = words.claims.every(({ parts }) => parts.every((part) => wrong[part] !== undefined));
  return [...choice, ...(isClaimed ? claimTexts(kind, { wrong }) : [])].join(' ');
}

function isSuggested({ x, y, suggested }: ProblemEvidence): boolean {
  return suggested !== null && suggested.x === x && suggested.y === y;
}

function capital(text: string): string {
  return `${text[0]!.toUpperCase()}${text.slice(1)}`;
}
