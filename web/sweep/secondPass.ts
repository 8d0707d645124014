import type { SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import type { ReadTake } from '../takes/reader.ts';
import { inOrder } from './folds.ts';
import type { JobTake, JobValue, TakeInput } from './jobs.ts';
import { type Kept, keyOf, overTakes, type Surroundings } from './runner.ts';

/** What a choice comes to on one take: lost beyond its borders, wrong at the choice itself, and under stress. */
export interface TakeChecks<Lost, Wrong, Stress> {
  readonly lost: readonly Lost[];
  readonly wrong: readonly Wrong[];
  readonly stress: readonly Stress[];
}

/**
 * The second pass of a job on swing speeds: checks what was chosen take by take.
 * @param pass.restsOn  all that a check's result rests on beside the take and the smoothing: results are kept by it.
 * @param tell  is given the checks of the takes so far, in the takes' order.
 * @returns the checks of all takes that could be read, in the takes' order.
 */
export function checkEach<Checks>(
  takes: readonly JobTake[],
  around: Surroundings,
  pass: {
    readonly smoothing: SmoothingSettings;
    readonly restsOn: readonly unknown[];
    readonly kept: Kept<Checks>;
    check(read: ReadTake): Checks;
  },
  tell: (checks: readonly Checks[]) => JobValue,
): Promise<readonly Checks[]> {
  const { smoothing, restsOn, kept, check } = pass;
  const key = (input: TakeInput) => keyOf(input, smoothing, ...restsOn);
  const read = (input: TakeInput, nextId: string | undefined) => around.reader.read(input, smoothing, nextId);
  return checkEachRead(takes, around, { key, read, kept, check }, tell);
}

/** The same for a job that reads its takes in a way of its own. @param pass.key  results are kept by it. */
export async function checkEachRead<Checks, Read>(
  takes: readonly JobTake[],
  around: Surroundings,
  pass: {
    readonly kept: Kept<Checks>;
    key(input: TakeInput): string;
    read(input: TakeInput, nextId: string | undefined): Promise<Read>;
    check(read: Read): Checks;
  },
  tell: (checks: readonly Checks[]) => JobValue,
): Promise<readonly Checks[]> {
  const done: { readonly take: JobTake; readonly checks: Checks }[] = [];
  const soFar = () => inOrder(done, takes).map(({ checks }) => checks);
  await overTakes(
    takes,
    around,
    async (input, take, next) => {
      const checks = await pass.kept.of(pass.key(input), async () =>
        pass.check(await pass.read(input, next?.id)),
      );
      done.push({ take, checks });
    },
    () => tell(soFar()),
  );
  return soFar();
}

/** The takes' checks as a verdict holds them. */
export function sumChecks<Lost, Wrong, Stress>(
  checks: readonly TakeChecks<Lost, Wrong, Stress>[],
  sumStress: (stress: readonly (readonly Stress[])[]) => readonly Stress[],
): TakeChecks<Lost, Wrong, Stress> & { readonly stressed: number } {
  return {
    lost: checks.flatMap(({ lost }) => lost),
    wrong: checks.flatMap(({ wrong }) => wrong),
    stress: sumStress(checks.map(({ stress }) => stress)),
    stressed: checks.length,
  };
}
