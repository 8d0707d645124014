import { inOrder, type Swept } from './folds.ts';
import type { JobTake, JobValue, Progress, TakeInput } from './jobs.ts';
import { type Noted, overTakes, type Surroundings } from './runner.ts';

/** What differs from job to job of those that sweep takes, choose, and check the choice. */
export interface SweepSteps<Part, Summed, Verdict extends { readonly stressed: number }> {
  /** What there is before the first take. */
  readonly nothing: Summed;
  /** One take's part of the map. */
  part(input: TakeInput, next: JobTake | undefined): Promise<Part>;
  withPart(summed: Summed, part: Part): Summed;
  value(progress: Progress, summed: Summed, verdict: Verdict | null): JobValue;
  decide(summed: Summed, swept: readonly Swept<Part>[]): Verdict;
  /** The second pass: what lies at the borders, what is wrong even so, and what becomes of it under stress. */
  check(
    swept: readonly Swept<Part>[],
    verdict: Verdict,
    summed: Summed,
    tell: (verdict: Verdict) => JobValue,
  ): Promise<Verdict>;
}

/** Sweeps over all takes and tells what is found so far; then chooses, and checks the choice take by take. */
export async function runSweepJob<Part, Summed, Verdict extends { readonly stressed: number }>(
  takes: readonly JobTake[],
  around: Surroundings,
  steps: SweepSteps<Part, Summed, Verdict>,
): Promise<void> {
  const { swept, noted } = await sweepAll(takes, around, steps);
  const total = swept.length;
  // Anew: sums of shares depend on the order in their last digits, and what is chosen must not.
  const summed = swept.reduce((sum, { part }) => steps.withPart(sum, part), steps.nothing);
  const verdict = steps.decide(summed, swept);
  const value = (stage: Progress['stage'], done: number, now: Verdict) =>
    steps.value({ stage, done, total, ...noted }, summed, now);
  around.report(value('checking', 0, verdict));
  const checked = await steps.check(swept, verdict, summed, (now) => value('checking', now.stressed, now));
  around.report(value('done', total, checked));
}

/** The parts of all takes that could be read, in the takes' order. */
async function sweepAll<Part, Summed, Verdict extends { readonly stressed: number }>(
  takes: readonly JobTake[],
  around: Surroundings,
  steps: SweepSteps<Part, Summed, Verdict>,
): Promise<{ readonly swept: readonly Swept<Part>[]; readonly noted: Noted }> {
  const done: Swept<Part>[] = [];
  let soFar = steps.nothing;
  const noted = await overTakes(
    takes,
    around,
    async (input, take, next) => {
      const part = await steps.part(input, next);
      done.push({ take, part });
      soFar = steps.withPart(soFar, part);
    },
    (progress) => steps.value({ stage: 'sweeping', total: takes.length, ...progress }, soFar, null),
  );
  return { swept: inOrder(done, takes), noted };
}
