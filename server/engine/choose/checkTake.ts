import type { SmoothingSettings } from '../filter/smoothing.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import type { SweepGrid } from '../sweep/grid.ts';
import type { Border, Lost } from './borders.ts';
import { isMore } from './leaveOut.ts';
import {
  type Evidence,
  type InTake,
  type Judged,
  type Problem,
  recordOf,
  type WrongEvent,
} from './problem.ts';

/** What goes wrong even so at a choice, and why. */
export type Wrong<Part extends string = string, Why = unknown> = WrongEvent<Part> &
  InTake & { readonly why: Why | null };

/** What becomes of all that is labelled under one stress: of its variants the worst on this take. */
export interface StressResult<Part extends string = string> {
  readonly name: string;
  readonly wrong: Readonly<Record<Part, number>>;
  /** What goes right as recorded and not under the stress, or the other way round. */
  readonly flips: number;
  /** Fires where there should be none beyond those that there are without the stress. */
  readonly moreFires: number;
}

/** What a choice comes to on one take: lost beyond its borders, wrong at the choice itself, and under stress. */
export interface TakeChecks<Part extends string = string, Why = unknown> {
  readonly lost: readonly Lost<Part>[];
  readonly wrong: readonly Wrong<Part, Why>[];
  readonly stress: readonly StressResult<Part>[];
}

interface CheckedTake {
  readonly id: string;
  readonly title: string;
  readonly signals: SpeedSignals;
}

type Checked<Part extends string, Base, Take extends CheckedTake, Why> = Pick<
  Problem<Part, SweepGrid<Part>, Base, Take, Evidence, Why>,
  'at' | 'judge' | 'explain' | 'stresses' | 'under' | 'errors' | 'sizeOf'
>;

export function checkTake<Part extends string, Base, Take extends CheckedTake, Why>(
  problem: Checked<Part, Base, Take, Why>,
  take: Take,
  base: Base,
  smoothing: SmoothingSettings,
  choice: { readonly x: number; readonly y: number },
  borders: readonly Border<Part>[],
): TakeChecks<Part, Why> {
  const chosen = problem.at(base, choice.x, choice.y);
  const wrong = wrongEvents(problem.judge(take, chosen, take.signals));
  const whys = problem.explain(take, chosen, wrong);
  const named = { takeId: take.id, title: take.title };
  return {
    lost: lostBeyond(problem, take, base, choice, borders),
    wrong: wrong.map((event, i) => ({ ...named, ...event, why: whys[i] ?? null })),
    stress: stressTake(problem, take, smoothing, chosen),
  };
}

/** What a step over each border loses in a take. */
export function lostBeyond<Part extends string, Base, Take extends CheckedTake, Why>(
  problem: Pick<Checked<Part, Base, Take, Why>, 'at' | 'judge'>,
  take: Take,
  base: Base,
  { x, y }: { readonly x: number; readonly y: number },
  borders: readonly Border<Part>[],
): Lost<Part>[] {
  const wrongWith = (settings: Base) => wrongEvents(problem.judge(take, settings, take.signals));
  const keyOf = ({ part, atUs }: WrongEvent) => `${part} ${atUs}`;
  const usual = new Set(wrongWith(problem.at(base, x, y)).map(keyOf));
  return borders.flatMap(({ axis, by, beyond }): Lost<Part>[] => {
    if (beyond === null) return [];
    return wrongWith(axis === 'x' ? problem.at(base, beyond, y) : problem.at(base, x, beyond))
      .filter((event) => !usual.has(keyOf(event)))
      .map((event) => ({ axis, by, takeId: take.id, title: take.title, ...event }));
  });
}

export function wrongEvents<Part extends string>(judged: readonly Judged<Part>[]): WrongEvent<Part>[] {
  return judged.flatMap(({ wrong, atUs }) => (wrong ? [{ part: wrong, atUs }] : []));
}

/** Judges a take again under every stress, with the same setting. */
export function stressTake<Part extends string, Base, Take extends CheckedTake, Why>(
  problem: Pick<Checked<Part, Base, Take, Why>, 'judge' | 'stresses' | 'under' | 'errors' | 'sizeOf'>,
  take: Take,
  smoothing: SmoothingSettings,
  chosen: Base,
): StressResult<Part>[] {
  const usual = problem.judge(take, chosen, take.signals);
  const parts = Object.keys(problem.sizeOf) as Part[];
  const badness = ({ wrong, flips }: StressResult<Part>) => [
    problem.errors.flat().reduce((sum, part) => sum + wrong[part], 0),
    flips,
  ];
  return problem.stresses.map((name) =>
    problem
      .under(name, take, smoothing, chosen)
      .map((signals): StressResult<Part> => {
        const found = problem.judge(take, chosen, signals());
        const wrong = recordOf(parts, (part) => found.filter((one) => one.wrong === part).length);
        const moreFires = Math.max(0, firesIn(found) - firesIn(usual));
        return { name, wrong, flips: flipsBetween(unitsOf(usual), unitsOf(found)), moreFires };
      })
      .reduce((worst, result) => (isMore(badness(result), badness(worst)) ? result : worst)),
  );
}

function unitsOf(judged: readonly Judged[]): Judged[] {
  return judged.filter(({ what }) => what === 'unit');
}

function firesIn(judged: readonly Judged[]): number {
  return judged.length - unitsOf(judged).length;
}

function flipsBetween(usual: readonly Judged[], found: readonly Judged[]): number {
  return usual.filter(({ wrong }, i) => {
    const now = found[i]!.wrong;
    return wrong !== undefined && now !== undefined && (wrong === null) !== (now === null);
  }).length;
}

/** Several takes' checks as one: what is lost and wrong in their order, stresses added up. */
export function sumChecks<Part extends string, Why>(
  problem: Pick<Problem<Part, never, never, never, never, never>, 'stresses' | 'sizeOf'>,
  checks: readonly TakeChecks<Part, Why>[],
): TakeChecks<Part, Why> & { readonly stressed: number } {
  return {
    lost: checks.flatMap(({ lost }) => lost),
    wrong: checks.flatMap(({ wrong }) => wrong),
    stress: sumStress(
      problem,
      checks.map(({ stress }) => stress),
    ),
    stressed: checks.length,
  };
}

export function sumStress<Part extends string>(
  { stresses, sizeOf }: Pick<Problem<Part, never, never, never, never, never>, 'stresses' | 'sizeOf'>,
  takes: readonly (readonly StressResult<Part>[])[],
): StressResult<Part>[] {
  const parts = Object.keys(sizeOf) as Part[];
  return stresses.map((name) => {
    const results = takes.flatMap((stress) => stress.filter((one) => one.name === name));
    const total = (of: (one: StressResult<Part>) => number) => results.reduce((sum, one) => sum + of(one), 0);
    return {
      name,
      wrong: recordOf(parts, (part) => total(({ wrong }) => wrong[part])),
      flips: total(({ flips }) => flips),
      moreFires: total(({ moreFires }) => moreFires),
    };
  });
}
