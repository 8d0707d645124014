import type { ComponentChildren } from 'preact';
import type { Wrong } from '../../../../server/engine/choose/checkTake.ts';
import type { Evidence, Weighing } from '../../../../server/engine/choose/problem.ts';
import type { Suggestion } from '../../../../server/engine/choose/suggest.ts';
import type { Candidate } from '../../../../server/engine/settings/candidate.ts';
import type { SweepGrid } from '../../../../server/engine/sweep/grid.ts';
import type { HeldColumn } from '../../../../server/engine/words/choose/heldOut.ts';
import type { ChoiceResult, Job, JobTake } from '../../../sweep/jobs.ts';
import type { Layer } from '../layers.ts';

/** A count in a table: what its head says, in short and at length. */
export interface CountColumn extends HeldColumn {
  readonly head: string;
  readonly title: string;
}

export interface FigureWords {
  readonly name: string;
  readonly value: string;
  readonly note?: string;
}

/** What tells one map of Sweep from another, on the page. */
export interface MapView<
  Part extends string = string,
  Grid extends SweepGrid<Part> = SweepGrid<Part>,
  Own extends Evidence = Evidence,
  Why = unknown,
> {
  readonly problem: Weighing<Part>;
  readonly title: string;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly layers: readonly Layer<Grid>[];
  /** What stands at the pointer. @param isBrief  only what is wrong of how much. */
  cellText(grid: Grid, cell: number, isBrief?: boolean): string;
  /** Columns of what is left out; those that count as wrong are judged again under stress. */
  readonly columns: readonly CountColumn[];
  /** How fires that only a stress brings are told, as in "2 more fires come outside any swing". */
  readonly moreFires?: string;
  figures(suggestion: Suggestion<Part>, evidence: readonly Own[]): readonly FigureWords[];
  /** Further figures, told on asking. */
  moreFigures?(suggestion: Suggestion<Part>): readonly FigureWords[];
  /** What the figures come to, where that needs saying. */
  remarks?(
    suggestion: Suggestion<Part>,
    result: Pick<ChoiceResult<Part, Why>, 'wrong'>,
    evidence: readonly Own[],
  ): ComponentChildren;
  /** On what the counts rest. @param candidate  the one that the map was drawn with. */
  basis(evidence: readonly Own[], candidate: Candidate): string;
  wrongText(wrong: Wrong<Part, Why>): string;
  /** What those are that go wrong, where not all are named. */
  readonly moreWrong?: string;
  /** What a suggestion takes along into a candidate, besides the smoothing. */
  taken(candidate: Candidate, x: number, y: number): Partial<Candidate>;
  /** What the map is drawn with, and its words; it must not change with the two settings that the map spans. */
  readonly rulesName: string;
  rulesOf(candidate: Candidate): unknown;
  /** The job that draws it. */
  job(takes: readonly JobTake[], candidate: Candidate): Job;
}
