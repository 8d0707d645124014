import { inOrder } from './folds.ts';
import type { JobTake, JobValue, TakeInput } from './jobs.ts';
import { type Kept, overTakes, type Surroundings } from './runner.ts';

/**
 * The second pass of a job: checks what was chosen take by take.
 * @param pass.key  results are kept by it.
 * @param tell  is given the checks of the takes so far, in the takes' order.
 * @returns the checks of all takes that could be read, in the takes' order.
 */
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
