import { describe, expect, test } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/candidateRules.ts';
import { sumGrids } from '../../server/engine/choose/sumGrids.ts';
import { sweepTake } from '../../server/engine/choose/takeSweep.ts';
import type { MotionLog } from '../../server/engine/log.ts';
import { runDeflectionJob } from '../../web/sweep/deflectionJob.ts';
import { runGuardJob } from '../../web/sweep/guardJob.ts';
import type {
  DeflectionValue,
  GuardJob,
  GuardValue,
  JobTake,
  JobValue,
  TakeInput,
} from '../../web/sweep/jobs.ts';
import { Stopped, type Surroundings } from '../../web/sweep/runner.ts';
import { TakeReader } from '../../web/sweep/takeReader.ts';
import { seededNormal } from '../seeded.ts';

const { smoothing, guard, deflection } = DEFAULT_CANDIDATE;
const RATE_HZ = 100;

/** Rest, then three spins of eight swings with a stop after each. */
function log(seed: number): MotionLog {
  const noise = seededNormal(seed);
  const length = 26 * RATE_HZ;
  const column = (of: (s: number) => number) =>
    Float64Array.from({ length }, (_, i) => of(i / RATE_HZ) + 0.3 * noise());
  const isSpin = (s: number) => s >= 2 && (s - 2) % 8 < 4;
  return {
    timeUs: Float64Array.from({ length }, (_, i) => i * 10_000),
    gyroXDps: column(() => 0),
    gyroYDps: column(() => 0),
    gyroZDps: column((s) => (isSpin(s) ? (500 + 20 * seed) * Math.sin(2 * Math.PI * (s - 2)) : 0)),
    accelXG: column(() => 0).map((value) => value / 100),
    accelYG: column(() => 0).map((value) => value / 100),
    accelZG: column(() => 0).map((value) => 1 + value / 100),
  };
}

/** A take as the page names it, with its document at hand. */
type Given = TakeInput & JobTake;

/** Two strays at reversals and one in mid-swing in every spin, two wanted presses after every stop. */
function input(id: string, performer: string): Given {
  const moments = [0, 8, 16].flatMap((startS) =>
    (
      [
        ['stray', 3.5],
        ['stray', 4.52],
        ['stray', 5.25],
        ['wanted', 6.6],
        ['wanted', 8.9],
      ] as const
    ).map(([intent, atS]) => ({ intent, downUs: Math.round((startS + atS) * 1e6) })),
  );
  const presses = moments.map(({ downUs }) => ({ button: 'power', downUs, upUs: downUs + 90_000 }));
  const labels = {
    presses: moments.map(({ downUs, intent }) => ({
      downUs,
      intent,
      button: 'power',
      by: 'person' as const,
    })),
    spans: [],
    swings: [],
  };
  const calibration = DEFAULT_CALIBRATION;
  return { id, title: id.toUpperCase(), performer, revision: 1, calibration, presses, labels };
}

function surroundings(change: Partial<Surroundings> = {}, asked: string[] = []) {
  const told: JobValue[] = [];
  let now = 0;
  const around: Surroundings = {
    reader: new TakeReader(async (id) => {
      asked.push(id);
      if (id === 'broken') throw new Error('the columns are gone');
      const columns = id === 'still' ? { ...log(1), gyroZDps: log(1).gyroXDps } : log(Number(id.at(-1)));
      return { log: columns, saturated: new Uint8Array(columns.timeUs.length) };
    }),
    firstId: null,
    input: async (take) => take as Given,
    report: (value) => told.push(value),
    isCancelled: () => false,
    breathe: async () => {},
    nowMs: () => (now += 1000),
    ...change,
  };
  return { around, told };
}

const job = (takes: readonly Given[]): GuardJob => ({ kind: 'guard', takes, smoothing, base: guard });
const takes = [input('t1', 'spinner'), input('t2', 'spinner'), input('t3', 'beginner')];

async function run(given: readonly Given[], change: Partial<Surroundings> = {}) {
  const { around, told } = surroundings(change);
  await runGuardJob(job(given), around);
  return told as GuardValue[];
}

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
    const found = (await run([input('still', 'spinner'), takes[0]!])).at(-1)!;
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
    const found = (await runDeflection([input('still', 'spinner'), takes[0]!])).at(-1)!;
    expect(found.evidence.map((take) => take.unfit === null)).toEqual([false, true]);
    expect(found.grid!.swings).toBe(24);
    expect(found.verdict!.byTake).toBe(null);
  });

  test('where no take is fit it declines, with no map, and checks nothing', async () => {
    const found = (await runDeflection([input('still', 'spinner')])).at(-1)!;
    expect(found.grid).toBe(null);
    expect(found.verdict!.choice).toMatchObject({ kind: 'declined', decline: { kind: 'unfit' } });
    expect(found.verdict!.stress).toEqual([]);
  });
});

describe('the reader', () => {
  test('reads a take once while nothing of it changes, and again with another calibration', async () => {
    const asked: string[] = [];
    const { around } = surroundings({}, asked);
    await around.reader.read(takes[0]!, smoothing);
    await around.reader.read(takes[0]!, { ...smoothing, cutoffHz: 10 });
    expect(asked).toEqual(['t1']);
    const calibration = { ...DEFAULT_CALIBRATION, mount: { tip: '+y', side: '-x' } as const };
    await around.reader.read({ ...takes[0]!, calibration }, smoothing);
    expect(asked).toEqual(['t1', 't1']);
  });

  test('labels count from the next reading on', async () => {
    const { around } = surroundings();
    const spinning = { startUs: 2_000_000, endUs: 6_000_000, kind: 'spinning', by: 'person' as const };
    const before = await around.reader.read(takes[0]!, smoothing);
    const labels = { ...takes[0]!.labels, spans: [spinning] };
    const after = await around.reader.read({ ...takes[0]!, labels }, smoothing);
    expect(before.truth.spinning.length).toBe(3);
    expect(after.truth.spinning.length).toBe(1);
  });
});
