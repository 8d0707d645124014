import { readField } from '../settings/candidateRules.ts';
import type { Interval } from '../statistics/wilson.ts';
import type { KeptSetting, ProblemEvidence, Scores, SettingMap, SettingMargin } from './keptSetting.ts';
import { sweptPaths } from './sweptPaths.ts';

/** Where a setting contradicts itself, and how. */
export interface Contradiction {
  readonly path: string;
  readonly problem: string;
}

/** The first of what no schema can say: moments that are none, counts above their total, a map that is not as large as its axes. */
export function contradictionIn({ keptAt, candidate, evidence }: KeptSetting): Contradiction | null {
  const found: Contradiction[] = [];
  const check = (isFine: boolean, path: string, problem: string) => {
    if (!isFine) found.push({ path, problem });
  };
  check(!Number.isNaN(Date.parse(keptAt)), 'keptAt', `there is no such moment as ${keptAt}`);
  if (evidence !== null) {
    const { judgedAt, scores, groups, problems, takes } = evidence;
    check(!Number.isNaN(Date.parse(judgedAt)), 'evidence.judgedAt', `there is no such moment as ${judgedAt}`);
    for (const [i, { labels }] of takes.entries()) {
      const { byPerson, ...kinds } = labels;
      const all = Object.values(kinds).reduce((sum, count) => sum + count, 0);
      check(byPerson <= all, `evidence.takes[${i}].labels.byPerson`, `${byPerson} of ${all} labels`);
    }
    checkScores(scores, 'evidence.scores', check);
    for (const [i, one] of groups.entries()) checkScores(one.scores, `evidence.groups[${i}].scores`, check);
    for (const [i, problem] of problems.entries()) {
      const path = `evidence.problems[${i}]`;
      const swept = sweptPaths(problem.kind);
      for (const axis of ['x', 'y'] as const) {
        const own = readField(candidate, swept[axis]);
        check(problem[axis] === own, `${path}.${axis}`, `is not the setting’s own ${swept[axis]}, ${own}`);
      }
      checkProblem(problem, path, check);
    }
  }
  return found[0] ?? null;
}

type Check = (isFine: boolean, path: string, problem: string) => void;

function checkScores(scores: Scores, path: string, check: Check): void {
  for (const [id, cell] of Object.entries(scores))
    if (cell.kind === 'count') checkCount(cell, `${path}.${id}`, check);
}

/** Only what is a share of something has an interval, and it lies within. */
function checkCount(
  { k, n, interval }: { readonly k: number; readonly n: number; readonly interval: Interval | null },
  path: string,
  check: Check,
): void {
  if (interval === null) return;
  check(k <= n, path, `${k} of ${n} cannot be`);
  const { low, high } = interval;
  // An interval's ends come out of roots: dust of rounding is no contradiction.
  const isAround = low <= k / n + 1e-9 && k / n <= high + 1e-9;
  check(isAround, `${path}.interval`, `from ${low} to ${high} does not hold ${k} of ${n}`);
}

function checkProblem(problem: ProblemEvidence, path: string, check: Check): void {
  const { wrong, byTake, byPerformer, margins, map } = problem;
  const counts = (of: ProblemEvidence['wrong'], at: string) => {
    for (const [part, count] of Object.entries(of)) checkCount(count, `${at}.${part}`, check);
  };
  counts(wrong, `${path}.wrong`);
  for (const [name, held] of Object.entries({ byTake, byPerformer })) {
    if (held === null) continue;
    counts(held.wrong, `${path}.${name}.wrong`);
    if (held.worst !== null) counts(held.worst.wrong, `${path}.${name}.worst.wrong`);
  }
  if (margins !== null) {
    checkMargin(margins.x, problem.x, `${path}.margins.x`, check);
    checkMargin(margins.y, problem.y, `${path}.margins.y`, check);
  }
  if (map !== null) checkMap(map, `${path}.map`, check);
}

function checkMargin(margin: SettingMargin, own: number, path: string, check: Check): void {
  const { low, high, worseBelow, worseAbove } = margin;
  check(low <= own && own <= high, path, `from ${low} to ${high} does not hold the setting’s ${own}`);
  check(worseBelow === null || worseBelow < low, `${path}.worseBelow`, `must be below ${low}`);
  check(worseAbove === null || worseAbove > high, `${path}.worseAbove`, `must be above ${high}`);
}

function checkMap({ xs, ys, wrong, plateau }: SettingMap, path: string, check: Check): void {
  const cells = xs.length * ys.length;
  check(wrong.length === cells, `${path}.wrong`, `has ${wrong.length} cells, and its axes ${cells}`);
  check(
    plateau.length === 0 || plateau.length === cells,
    `${path}.plateau`,
    `has ${plateau.length} cells, and its axes ${cells}`,
  );
  for (const [name, values] of Object.entries({ xs, ys }))
    check(isRising(values), `${path}.${name}`, 'must rise');
}

function isRising(values: readonly number[]): boolean {
  return values.every((value, i) => i === 0 || value > values[i - 1]!);
}
