import { describe, expect, test } from 'vitest';
import { sumGrids } from '../../server/engine/choose/sumGrids.ts';
import { sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { runDeflectionJob } from '../../web/sweep/deflectionJob.ts';
import { runGuardJob } from '../../web/sweep/guardJob.ts';
import type { DeflectionValue, GuardJob, GuardValue, JobTake, TakeInput } from '../../web/sweep/jobs.ts';
import type { Surroundings } from '../../web/sweep/runner.ts';
import { Stopped } from '../../web/takes/requests.ts';
import { type Given, input, surroundings, takes } from './sweepTakes.ts';

const { smoothing, guard, deflection } = DEFAULT_CANDIDATE;

const job = (takes: readonly Given[]): GuardJob => ({ kind: 'guard', takes, smoothing, base: guard });

async function run(given: readonly Given[], change: Partial<Surroundings> = {}) {
  const { around, told } = surroundings(change);
  await runGuardJob(job(given), around);
  return told as GuardValue[];
}

/** Its signals leave it out. */
const left: Given = { ...input('still', 'spinner'), unfit: 'the signal check fails it on gaps' };

describe('the guard’s sweep over takes', () => {
  test('tells its progress, take by take, with what is found so far', async () => {
    const told = await run(takes);
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
    expect(told.map(({ grid }) => grid!.strays).slice(0, 3)).toEqual([9, 18, 27]);
    expect(told[2]!.verdict).toBe(null);
    expect(told[3]!.verdict!.stressed).toBe(0);
    expect(told.at(-1)!.verdict!.stressed).toBe(3);
  });

  test('its map is the sum of the takes’ own', async () => {
    const { around } = surroundings();
    const grids = [];
    for (const take of takes) grids.push(sweepTake(await around.reader.read(take, smoothing), guard));
    const found = (await run(takes)).at(-1)!;
    // one after the other, as the job sums them: shares of floating numbers depend on the order
    expect(found.grid).toEqual(grids.slice(1).reduce((sum, grid) => sumGrids([sum, grid]), grids[0]!));
  });

  test('it chooses, leaves each take and performer out in turn, and finds no flip', async () => {
    const { verdict } = (await run(takes)).at(-1)!;
    expect(verdict!.choice).toMatchObject({ kind: 'suggestion', strayLetThrough: { k: 0, n: 27 } });
    expect(verdict!.byTake!.folds.map((fold) => fold.name)).toEqual(['T1', 'T2', 'T3']);
    expect(verdict!.byPerformer!.folds.map((fold) => fold.name)).toEqual(['spinner', 'beginner']);
    expect(verdict!.byTake!.strays).toEqual({ k: 0, n: 27 });
    expect(verdict!.stress.map((one) => one.flips.length)).toEqual([0, 0, 0, 0, 0, 0]);
    expect(verdict!.wrong).toEqual([]);
  });

  test('a take that cannot be read is named, and the others are swept', async () => {
    const found = (await run([takes[0]!, input('broken', 'spinner'), takes[1]!])).at(-1)!;
    expect(found.failed).toEqual([{ title: 'BROKEN', message: 'the columns are gone' }]);
    expect(found.grid!.strays).toBe(18);
    expect(found.verdict!.choice.kind).toBe('suggestion');
  });

  test('a take that is not fit is told of and left out of map and checks', async () => {
    const found = (await run([left, takes[0]!])).at(-1)!;
    expect(found.evidence.map((take) => take.unfit === null)).toEqual([false, true]);
    expect(found.grid!.strays).toBe(9);
    expect(found.verdict!.byTake).toBe(null);
  });

  test('on one take it says that nothing is left to check on', async () => {
    const { verdict } = (await run([takes[0]!])).at(-1)!;
    expect(verdict!.choice.kind).toBe('suggestion');
    expect([verdict!.byTake, verdict!.byPerformer]).toEqual([null, null]);
  });

  test('without labels it declines, and checks nothing', async () => {
    const bare = { ...takes[0]!, labels: { presses: [], spans: [], swings: [] } };
    const { verdict } = (await run([bare])).at(-1)!;
    expect(verdict!.choice).toMatchObject({ kind: 'declined', decline: { kind: 'noLabels' } });
    expect(verdict!.stress).toEqual([]);
  });

  test('once cancelled it stops before the next take', async () => {
    const { around, told } = surroundings({ isCancelled: () => told.length >= 1 });
    await expect(runGuardJob(job(takes), around)).rejects.toThrow(Stopped);
    expect(told.length).toBe(1);
  });

  test('run again with one take more, it reads that one alone to sweep', async () => {
    const asked: string[] = [];
    const first = surroundings({}, asked);
    const fresh = ['t4', 't5', 't6'].map((id) => input(id, 'spinner'));
    await runGuardJob(job(fresh.slice(0, 2)), first.around);
    asked.length = 0;
    await runGuardJob(job(fresh), first.around);
    expect(asked).toEqual(['t6']);
  });

  test('begun with another take, it comes to the same map, choice and checks', async () => {
    const given = [...takes, input('t9', 'beginner')];
    const asked: string[] = [];
    const plain = (await run(given)).at(-1)!;
    const { around, told } = surroundings({ firstId: 't9' }, asked);
    // Another smoothing, so that nothing is kept of the run before: then the same again.
    await runGuardJob({ ...job(given), smoothing: { ...smoothing, cutoffHz: 24 } }, around);
    expect(asked.slice(0, 4)).toEqual(['t9', 't1', 't2', 't3']);
    await runGuardJob(job(given), around);
    expect(told.at(-1)).toEqual(plain);
  });

  test('a take whose document cannot be read is named, and the others are swept', async () => {
    const readable = async (take: JobTake): Promise<TakeInput> => {
      if (take.id === 't2') throw new Error('no such take');
      return take as Given;
    };
    const found = (await run(takes, { input: readable })).at(-1)!;
    expect(found.failed).toEqual([{ title: 'T2', message: 'no such take' }]);
    expect(found.grid!.strays).toBe(18);
  });

  test('the next take’s columns are asked for while one is worked on, and each only once', async () => {
    const asked: string[] = [];
    const fresh = ['t11', 't12', 't13'].map((id) => input(id, 'spinner'));
    const before: (readonly string[])[] = [];
    const { around } = surroundings({ report: () => before.push([...asked]) }, asked);
    await runGuardJob(job(fresh), around);
    expect(before[0]).toEqual(['t11', 't12']);
    expect(asked).toEqual(['t11', 't12', 't13']);
  });
});

describe('the deflection’s sweep over takes', () => {
  const runDeflection = async (given: readonly Given[], change: Partial<Surroundings> = {}) => {
    const { around, told } = surroundings(change);
    await runDeflectionJob({ kind: 'deflection', takes: given, smoothing, base: deflection }, around);
    return told as DeflectionValue[];
  };

  test('tells its progress, first swept, then checked, with what is found so far', async () => {
    const told = await runDeflection(takes);
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
    // four seconds of spin at two swings a second, three times a take
    expect(told.map(({ grid }) => grid!.swings).slice(0, 3)).toEqual([24, 48, 72]);
    expect(told[2]!.verdict).toBe(null);
    expect(told[3]!.verdict!.stressed).toBe(0);
  });

  test('it suggests where each swing deflects once, leaves each take and performer out in turn, and finds no flip', async () => {
    const { verdict } = (await runDeflection(takes)).at(-1)!;
    expect(verdict!.choice).toMatchObject({ kind: 'suggestion', once: { k: 72, n: 72 } });
    expect(verdict!.byTake!.folds.map((fold) => fold.name)).toEqual(['T1', 'T2', 'T3']);
    expect(verdict!.byPerformer!.folds.map((fold) => fold.name)).toEqual(['spinner', 'beginner']);
    expect(verdict!.byTake!.missed).toEqual({ k: 0, n: 72 });
    expect(verdict!.stress.map((one) => one.flips.length)).toEqual([0, 0, 0, 0, 0, 0]);
    expect([verdict!.wrong, verdict!.stressed]).toEqual([[], 3]);
    expect(verdict!.borders.map(({ side }) => side)).toEqual([
      'lowerSpeed',
      'higherSpeed',
      'lowerRearm',
      'higherRearm',
    ]);
  });

  test('on one take it says that nothing is left to check on', async () => {
    const { verdict } = (await runDeflection([takes[0]!])).at(-1)!;
    expect(verdict!.choice.kind).toBe('suggestion');
    expect([verdict!.byTake, verdict!.byPerformer]).toEqual([null, null]);
  });

  test('a take that is not fit is told of and left out of map and checks', async () => {
    const found = (await runDeflection([left, takes[0]!])).at(-1)!;
    expect(found.evidence.map((take) => take.unfit === null)).toEqual([false, true]);
    expect(found.grid!.swings).toBe(24);
    expect(found.verdict!.byTake).toBe(null);
  });

  test('where no take is fit it declines, with no map, and checks nothing', async () => {
    const found = (await runDeflection([left])).at(-1)!;
    expect(found.grid).toBe(null);
    expect(found.verdict!.choice).toMatchObject({ kind: 'declined', decline: { kind: 'unfit' } });
    expect(found.verdict!.stress).toEqual([]);
  });
});
