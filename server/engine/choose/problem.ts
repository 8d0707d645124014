import type { SmoothingSettings } from '../filter/smoothing.ts';
import type { LabelBy } from '../labels/labels.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import type { Candidate } from '../settings/candidate.ts';
import type { Axes, SweepGrid } from '../sweep/grid.ts';
import type { AxisEnds } from '../sweep/plateau.ts';
import type { Unfit } from './unfit.ts';

/** What two settings are chosen for: a detector, the guard by its presses or by motion alone. */
export type ProblemKind = 'guard' | 'motion' | 'deflection' | 'stab' | 'impact' | 'twist';

/** One of the two settings that a map spans. */
export interface SweptSetting {
  readonly field: string;
  /** What the page tries: evenly spaced, rising. */
  readonly values: readonly number[];
  /** What candidates are dragged by. */
  readonly step: number;
  /** Nothing below it is suggested, however well it does. */
  readonly least?: number;
}

/** What a take is worth for choosing; the counts beside these are the problem's own. */
export interface Evidence {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  /** Who made the labels that count: the program's are proposals that nobody has confirmed. */
  readonly by?: Readonly<Record<LabelBy, number>>;
  /** When something lies of which the labels contradict one another. */
  readonly contradictionsUs?: readonly number[];
  /** Why nothing can be chosen on this take's signals. */
  readonly unfit: Unfit | null;
}

/** What speaks against choosing: the first of these that holds. */
export type DeclineKind =
  | 'unfit'
  | 'noPresses'
  | 'noLabels'
  | 'contradictory'
  | 'oneClass'
  | 'tooFew'
  | 'noSwings'
  | 'noMotion'
  | 'unconfirmed'
  | 'noneGood'
  | 'oneGroup';

/** Something labelled with what becomes of it, or a fire that belongs to nothing labelled. */
export interface Judged<Part extends string = string> {
  readonly what: 'unit' | 'fire';
  readonly atUs: number;
  /** What it counts as going wrong; null where it goes right, undefined where nothing tells. */
  readonly wrong: Part | null | undefined;
}

/** k of n went wrong. */
export interface KOfN {
  readonly k: number;
  readonly n: number;
}

/** What goes wrong with a setting, and when. */
export interface WrongEvent<Part extends string = string> {
  readonly part: Part;
  readonly atUs: number;
}

/** A take with something wrong in it, as it is named. */
export interface InTake {
  readonly takeId: string;
  readonly title: string;
}

/** How a map's settings are weighed. */
export interface Weighing<Part extends string = string, Grid extends SweepGrid<Part> = SweepGrid<Part>> {
  readonly kind: ProblemKind;
  /** The group of a candidate that holds both settings. */
  readonly group: Exclude<keyof Candidate, 'smoothing'>;
  readonly x: SweptSetting;
  readonly y: SweptSetting;
  /** The size of the grid that each part is of. */
  readonly sizeOf: Readonly<Record<Part, string>>;
  /** Parts of which each one counts, together with the others of its list: more than 1 in 4 of the size is no good. */
  readonly errors: readonly (readonly Part[])[];
  /** Parts that count in steps of 1 in 20. */
  readonly steps: readonly Part[];
  /** Parts that are told of what is left out. */
  readonly heldOut: readonly Part[];
  /** Sizes without enough of which nothing is chosen. */
  readonly needs: readonly string[];
  /** See `findPlateau`. */
  readonly better: 'lowest' | 'middle';
  readonly ends?: AxisEnds;
  /** Where the best setting has next to no room, one more wrong is accepted for enough of it. */
  readonly relaxes?: true;
  /** The cost of every cell. @param slack  so many more wrong cost nothing. */
  cost(grid: SweepGrid<Part>, slack: number): Float64Array;
  sum(grids: readonly Grid[]): Grid;
}

/** What a choice needs to know of that which is chosen: how takes are read, and how their settings are weighed. */
export interface Problem<
  Part extends string,
  Grid extends SweepGrid<Part>,
  Base,
  Take extends { readonly id: string; readonly title: string; readonly signals: SpeedSignals },
  Own extends Evidence,
  Why,
> extends Weighing<Part, Grid> {
  readonly stresses: readonly string[];
  /** The settings with the map's two at x and y. */
  at(base: Base, x: number, y: number): Base;
  evidence(take: Take, base: Base): Own;
  /** @param axes  other values to try than the problem's own, rising. */
  sweep(take: Take, base: Base, evidence: Own, axes?: Axes): Grid;
  /** 0: a take counts; 1: only where none that is 0 does; null: it is left out. */
  rank(evidence: Own): 0 | 1 | null;
  /** Whether a take that counts tells anything; all do where this is not given. */
  tells?(grid: Grid): boolean;
  /** What speaks against choosing, given sums over the takes that are fit. */
  decline(have: Readonly<Record<string, number>>, fit: readonly Own[]): DeclineKind | null;
  /** What becomes of all that is labelled, and of fires outside it. @param signals  the take's own, or under stress. */
  judge(take: Take, base: Base, signals: Take['signals']): Judged<Part>[];
  /** Why each thing goes wrong; null where nothing more is to be said. */
  explain(take: Take, base: Base, wrong: readonly WrongEvent<Part>[]): readonly (Why | null)[];
  /** Signals under a stress, one for each variant of it; calling one may overwrite what the one before has given. */
  under(
    stress: string,
    take: Take,
    smoothing: SmoothingSettings,
    base: Base,
  ): readonly (() => Take['signals'])[];
}

/** The count of a part in a cell. */
export function wrongAt<Part extends string>(grid: SweepGrid<Part>, part: Part, cell: number): number {
  return grid.wrong[part][cell]!;
}

export function sizeIn<Part extends string>(
  problem: Pick<Weighing<Part>, 'sizeOf'>,
  grid: SweepGrid<Part>,
  part: Part,
): number {
  return grid.sizes[problem.sizeOf[part]]!;
}

/** A record of each of some names. */
export function recordOf<Name extends string, Value>(
  names: readonly Name[],
  of: (name: Name) => Value,
): Readonly<Record<Name, Value>> {
  return Object.fromEntries(names.map((name) => [name, of(name)])) as Record<Name, Value>;
}
