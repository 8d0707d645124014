import { performerKey } from '../choose/leftOut.ts';
import { type Cell, SCORE_COLUMNS, sumCells } from '../compare/cells.ts';
import type { TakeScores } from '../compare/takeScores.ts';
import type { Candidate } from '../settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../settings/candidateRules.ts';
import { type JudgedTake, PROBLEM_WORK } from './judgeTake.ts';
import {
  type ChosenBy,
  type EvidenceTake,
  GROUPED,
  type GroupScores,
  type ProblemEvidence,
  type Scores,
  type SettingEvidence,
} from './keptSetting.ts';

import { STILLS_AT_MOST } from './stills.ts';

/** A take that was asked about: what is told of it, and what it says; null where it could not be judged. */
export interface AskedTake {
  readonly take: EvidenceTake;
  readonly judged: JudgedTake | null;
}

/** A setting's evidence from all takes that it was judged on; those left out are told of and count for nothing. */
export function evidenceOn(
  candidate: Candidate,
  asked: readonly AskedTake[],
  { judgedAt, program }: Pick<SettingEvidence, 'judgedAt' | 'program'>,
): SettingEvidence {
  const named = asked.flatMap(({ take, judged }) => (judged === null ? [] : [{ take, judged }]));
  const counting = named.filter(({ take }) => take.leftOut === null);
  const all = PROBLEM_WORK.map((work, i) =>
    work.sum(
      named.map(({ take, judged }) => ({ take, part: judged.parts[i]! })),
      candidate,
    ),
  );
  const problems = withoutNeedlessMotion(all);
  return {
    judgedAt,
    program,
    takes: asked.map(({ take }) => take),
    scores: scoresOf(counting.map(({ judged }) => judged.scores)),
    groups: groupScores(counting),
    problems,
    stills: counting.flatMap(({ judged }) => judged.stills).slice(0, STILLS_AT_MOST),
    chosen: chosenBy(candidate, problems),
  };
}

/** By motion alone a guard is judged only where presses do not tell enough, and motion does. */
function withoutNeedlessMotion(problems: readonly ProblemEvidence[]): ProblemEvidence[] {
  const guard = problems.find(({ kind }) => kind === 'guard')!;
  return problems.filter(
    ({ kind, declined }) => kind !== 'motion' || (guard.declined !== null && declined === null),
  );
}

/** Spelt alike but for capitals and spaces, names are one. */
export function groupScores(
  counting: readonly { readonly take: EvidenceTake; readonly judged: JudgedTake }[],
): readonly GroupScores[] {
  return GROUPED.flatMap((by) => {
    const groups = new Map<string, typeof counting>();
    for (const one of counting) {
      const key = performerKey(one.take[by]);
      groups.set(key, [...(groups.get(key) ?? []), one]);
    }
    if (groups.size < 2) return [];
    return [...groups.values()].map((group) => ({
      by,
      name: group[0]!.take[by].trim(),
      scores: scoresOf(group.map(({ judged }) => judged.scores)),
    }));
  });
}

function scoresOf(takes: readonly TakeScores[]): Scores {
  const cells: Record<string, Cell> = {};
  for (const { id, read } of SCORE_COLUMNS) {
    const sum = sumCells(takes.map(read));
    if (sum !== null) cells[id] = sum;
  }
  return cells;
}

function chosenBy(candidate: Candidate, problems: readonly ProblemEvidence[]): SettingEvidence['chosen'] {
  const suggested = new Set(
    problems.flatMap(({ kind, x, y, suggested: choice }) =>
      choice?.x === x && choice.y === y ? [kind === 'motion' ? 'guard' : kind] : [],
    ),
  );
  const of = (group: keyof Candidate): ChosenBy => {
    if (suggested.has(group as never)) return 'suggested';
    return JSON.stringify(candidate[group]) === JSON.stringify(DEFAULT_CANDIDATE[group]) ? 'default' : 'hand';
  };
  return Object.fromEntries(
    Object.keys(DEFAULT_CANDIDATE).map((group) => [group, of(group as keyof Candidate)]),
  ) as Record<keyof Candidate, ChosenBy>;
}
