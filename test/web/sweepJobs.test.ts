import { describe, expect, test } from 'vitest';
import { GUARD } from '../../server/engine/choose/guardProblem.ts';
import { sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { runChoiceJob } from '../../web/sweep/choiceJobs.ts';
import type {
  DeflectionJob,
  DeflectionValue,
  GuardJob,
  GuardValue,
  JobTake,
  MotionJob,
  ReversalsJob,
  TakeInput,
} from '../../web/sweep/jobs.ts';
import { runReversalsJob } from '../../web/sweep/reversalsJob.ts';
import { Stopped } from '../../web/takes/requests.ts';
import { seededRandom } from '../seeded.ts';
import { type Given, input, surroundings, takes } from './sweepTakes.ts';

const { smoothing, guard, deflection } = DEFAULT_CANDIDATE;

const job = (takes: readonly Given[]): GuardJob => ({ kind: 'guard', takes, smoothing, base: guard });

async function run(given: readonly Given[], change: Parameters<typeof surroundings>[0] = {}) {
  const { around, told } = surroundings(change);
  await runChoiceJob(job(given), around);
  return told as GuardValue[];
}

/** Its signals leave it out. */
const left: Given = { ...input('still', 'spinner'), unfit: { kind: 'check', failed: ['gaps'] } };

const deflectionJob = (takes: readonly Given[]): DeflectionJob => {
  return { kind: 'deflection', takes, smoothing, base: deflection };
};

// Nine strays, and four seconds of spin at two swings a second, three times a take.
describe.each([
  ['guard', job, 'strays', 9],
  ['deflection', deflectionJob, 'swings', 24],
] as const)('the %s’s sweep over takes', (_name, jobOf, size, each) => {
  const runOn = async (given: readonly Given[]) => {
    const { around, told } = surroundings();
    await runChoiceJob(jobOf(given), around);
    return told as readonly (GuardValue | DeflectionValue)[];
  };
  const sizeIn = ({ grid }: GuardValue | DeflectionValue) => (grid!.sizes as Record<string, number>)[size];

  test('tells its progress, first swept, then checked, with what is found so far', async () => {
    const told = await runOn(takes);
    expect(told.map(({ stage, done }) => `${stage} ${done}`)).toEqual([
      'sweeping 1',
      'sweeping 2',
      'sweeping 3',
      'checking 0',
      'checking 1',
      'checking 2',
      'checking 3',
      'done 3',
    ]);
    expect(told.slice(0, 3).map(sizeIn)).toEqual([each, 2 * each, 3 * each]);
    expect(told[2]!.result).toBe(null);
    expect([told[3]!.result!.stressed, told.at(-1)!.result!.stressed]).toEqual([0, 3]);
  });

  test('it chooses, leaves each take and performer out in turn, and finds no flip', async () => {
    const { result } = (await runOn(takes)).at(-1)!;
    expect(result!.choice.kind).toBe('suggestion');
    expect(result!.byTake!.folds.map(({ name }) => name)).toEqual(['T1', 'T2', 'T3']);
    expect(result!.byPerformer!.folds.map(({ name }) => name)).toEqual(['spinner', 'beginner']);
    expect(result!.stress.map(({ flips }) => flips)).toEqual([0, 0, 0, 0, 0, 0]);
    expect([result!.wrong, result!.borders.length]).toEqual([[], 4]);
  });

  test('on one take it says that nothing is left to check on', async () => {
    const { result } = (await runOn([takes[0]!])).at(-1)!;
    expect(result!.choice.kind).toBe('suggestion');
    expect([result!.byTake, result!.byPerformer]).toEqual([null, null]);
  });

  test('a take that is not fit is told of and left out of map and checks', async () => {
    const found = (await runOn([left, takes[0]!])).at(-1)!;
    expect(found.evidence.map((take) => take.unfit === null)).toEqual([false, true]);
    expect(sizeIn(found)).toBe(each);
    expect(found.result!.byTake).toBe(null);
  });

  test('where no take is fit it declines, with no map, and checks nothing', async () => {
    const found = (await runOn([left])).at(-1)!;
    expect(found.grid).toBe(null);
    expect(found.result!.choice).toMatchObject({ kind: 'declined', decline: { kind: 'unfit' } });
    expect(found.result!.stress).toEqual([]);
  });
});

describe('the guard’s sweep over takes', () => {
  test('its map is the sum of the takes’ own', async () => {
    const { reader } = surroundings();
    const grids = [];
    for (const take of takes) grids.push(sweepTake(await reader.read(take, smoothing), guard));
    const found = (await run(takes)).at(-1)!;
    expect(found.grid).toEqual(GUARD.sum(grids));
  });

  test('every stray is stopped, every wanted press goes through, also of those left out', async () => {
    const { result } = (await run(takes)).at(-1)!;
    expect(result!.choice).toMatchObject({ wrong: { strays: { k: 0, n: 27 }, wanted: { k: 0, n: 18 } } });
    expect(result!.byTake!.wrong.strays).toEqual({ k: 0, n: 27 });
  });

  test('a take that cannot be read is named, and the others are swept', async () => {
    const found = (await run([takes[0]!, input('broken', 'spinner'), takes[1]!])).at(-1)!;
    expect(found.failed).toEqual([{ title: 'BROKEN', message: 'the columns are gone' }]);
    expect(found.grid!.sizes.strays).toBe(18);
    expect(found.result!.choice.kind).toBe('suggestion');
  });

  test('a take that can no longer be read once it is swept is named: the checks are without it', async () => {
    const { around, told } = surroundings();
    const { find } = around;
    const given = ['t41', 't42', 't43'].map((id) => input(id, 'spinner'));
    const breaks = async (...[take, piece, next]: Parameters<typeof find>) => {
      if (piece.what === 'check' && take.id === 't42') throw new Error('the server is gone');
      return find(take, piece, next);
    };
    await runChoiceJob(job(given), { ...around, find: breaks });
    const found = told.at(-1) as GuardValue;
    expect(found.failed).toEqual([{ title: 'T42', message: 'the server is gone' }]);
    expect([found.grid!.sizes.strays, found.result!.stressed]).toEqual([27, 2]);
  });

  test('without labels it declines, and checks nothing', async () => {
    const bare = { ...takes[0]!, labels: { presses: [], spans: [], swings: [] } };
    const { result } = (await run([bare])).at(-1)!;
    expect(result!.choice).toMatchObject({ kind: 'declined', decline: { kind: 'noLabels' } });
    expect(result!.stress).toEqual([]);
  });

  test('once cancelled it stops before the next take', async () => {
    const { around, told } = surroundings({ isCancelled: () => told.length >= 1 });
    await expect(runChoiceJob(job(takes), around)).rejects.toThrow(Stopped);
    expect(told.length).toBe(1);
  });

  test('run again with one take more, it reads that one alone to sweep', async () => {
    const asked: string[] = [];
    const first = surroundings({}, asked);
    const fresh = ['t4', 't5', 't6'].map((id) => input(id, 'spinner'));
    await runChoiceJob(job(fresh.slice(0, 2)), first.around);
    asked.length = 0;
    await runChoiceJob(job(fresh), first.around);
    expect(asked).toEqual(['t6']);
  });

  test('begun with another take, it comes to the same map, choice and checks', async () => {
    const given = [...takes, input('t9', 'beginner')];
    const asked: string[] = [];
    const plain = (await run(given)).at(-1)!;
    const { around, told } = surroundings({ firstId: 't9' }, asked);
    // Another smoothing, so that nothing is kept of the run before: then the same again.
    await runChoiceJob({ ...job(given), smoothing: { ...smoothing, cutoffHz: 24 } }, around);
    expect(asked.slice(0, 4)).toEqual(['t9', 't1', 't2', 't3']);
    await runChoiceJob(job(given), around);
    expect(told.at(-1)).toEqual(plain);
  });

  test('a take whose document cannot be read is named, and the others are swept', async () => {
    const readable = async (take: JobTake): Promise<TakeInput> => {
      if (take.id === 't32') throw new Error('no such take');
      return take as Given;
    };
    const given = [takes[0]!, input('t32', 'spinner'), takes[2]!];
    const found = (await run(given, { input: readable })).at(-1)!;
    expect(found.failed).toEqual([{ title: 'T32', message: 'no such take' }]);
    expect(found.grid!.sizes.strays).toBe(18);
  });

  test('the next take’s columns are asked for while one is worked on, and each only once', async () => {
    const asked: string[] = [];
    const fresh = ['t11', 't12', 't13'].map((id) => input(id, 'spinner'));
    const before: (readonly string[])[] = [];
    const { around } = surroundings({ report: () => before.push([...asked]) }, asked);
    await runChoiceJob(job(fresh), around);
    expect(before[0]).toEqual(['t11', 't12']);
    expect(asked).toEqual(['t11', 't12', 't13']);
  });
});

/** Finds several pieces at once and answers them in a drawn order, each by a reader of its own, as one of three threads. */
function scattered(seed: number) {
  const draw = seededRandom(seed);
  const finders = [1, 2, 3].map(() => surroundings().around);
  const waiting: (() => void)[] = [];
  const release = (): void => {
    const [next] = waiting.splice(Math.floor(draw() * waiting.length), 1);
    next?.();
  };
  return surroundings({
    width: 3,
    firstId: 't2',
    find: async (take, piece, next) => {
      const finder = finders[Math.floor(draw() * finders.length)]!;
      // As between threads, nothing is shared with whoever found it.
      const found = structuredClone(await finder.find(structuredClone(take), structuredClone(piece), next));
      const ended = new Promise<void>((resolve) => waiting.push(resolve));
      // All that were asked for together are under way by now.
      setTimeout(release, 1);
      await ended;
      return found;
    },
  });
}

const kinds: readonly (GuardJob | DeflectionJob | MotionJob | ReversalsJob)[] = [
  job(takes),
  deflectionJob(takes),
  { kind: 'motion', takes, smoothing, base: { ...guard, patienceMs: 300 } },
  { kind: 'reversals', takes, smoothing, guard },
];

test.each(kinds.map((one) => [one.kind, one] as const))(
  'what three threads find of the %s’s sweep in any order is what one finds',
  async (kind, plain) => {
    // Other ids than elsewhere: nothing is kept of them. Shares and seconds of each are other numbers.
    const drawn = Array.from({ length: 6 }, (_, i) =>
      input(`${kind}-${i + 1}`, i % 2 ? 'spinner' : 'beginner'),
    );
    const broken = input('broken', 'spinner');
    const given = [...drawn.slice(0, 2), broken, ...drawn.slice(2)].map((take, i) => ({
      ...take,
      labels: { ...take.labels, presses: take.labels.presses.slice(i % 3) },
    }));
    const runOn = async ({ around, told }: ReturnType<typeof surroundings>, salt: number) => {
      // Kept results are told apart by revision.
      const takes = given.map((take) => ({ ...take, revision: salt }));
      const whole = { ...plain, takes } as typeof plain;
      await (whole.kind === 'reversals' ? runReversalsJob(whole, around) : runChoiceJob(whole, around));
      return JSON.stringify(told.at(-1), (_key, value) =>
        ArrayBuffer.isView(value) ? Array.from(value as Float64Array, String) : value,
      );
    };
    const one = await runOn(surroundings(), 1);
    expect(JSON.parse(one).failed).toEqual([{ title: 'BROKEN', message: 'the columns are gone' }]);
    for (const seed of [1, 2, 3]) expect(await runOn(scattered(seed), 1 + seed)).toBe(one);
  },
);

test('the deflection is suggested where each swing deflects once, also of those left out', async () => {
  const { around, told } = surroundings();
  await runChoiceJob(deflectionJob(takes), around);
  const { result } = told.at(-1) as DeflectionValue;
  const none = { missed: { k: 0, n: 72 }, twice: { k: 0, n: 72 } };
  expect(result!.choice).toMatchObject({ kind: 'suggestion', wrong: none });
  expect(result!.byTake!.wrong).toMatchObject(none);
});
