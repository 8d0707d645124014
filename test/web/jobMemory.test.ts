import { describe, expect, test } from 'vitest';
import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { runChoiceJob } from '../../web/sweep/choiceJobs.ts';
import { JobMemory, namedPiece } from '../../web/sweep/jobMemory.ts';
import type { GuardJob, Job, JobTake, JobValue, ReversalsJob } from '../../web/sweep/jobs.ts';
import { runReversalsJob } from '../../web/sweep/reversalsJob.ts';
import { sha256 } from '../../web/takes/content.ts';
import { Found, type FoundStore } from '../../web/takes/found.ts';
import { keepPacked } from '../../web/takes/packed.ts';
import { takes as given, surroundings } from './sweepTakes.ts';

const { guard, smoothing } = DEFAULT_CANDIDATE;

/** Many takes of three recordings, each with a name and a content of its own. */
const many: readonly JobTake[] = Array.from({ length: 24 }, (_, i): JobTake => {
  const { id, title, performer, revision, unfit } = given[i % given.length]!;
  const content = { signals: `signals ${i}`, labels: 'labels' };
  return { id: `${id}-${i}`, title: `${title} ${i}`, performer, revision, unfit, content, labels: null };
});
const job = (takes: readonly JobTake[], change: Partial<GuardJob> = {}): GuardJob => {
  return { kind: 'guard', smoothing, base: guard, takes, ...change };
};
const ANSWER = {
  kind: 'guard',
  stage: 'done',
  failed: [],
  grid: Float64Array.of(1.5, Number.NaN),
} as unknown as JobValue;

function memory(): Found {
  const values = new Map<string, unknown>();
  const store: FoundStore = {
    get: async (keys) => keys.map((key) => structuredClone(values.get(key))),
    put: async (key, value) => void values.set(key, structuredClone(value)),
  };
  return new Found(store, 'code');
}

const changed = (at: number, change: Partial<JobTake>): readonly JobTake[] =>
  many.map((take, i) => (i === at ? { ...take, ...change } : take));

describe('a whole job', () => {
  test('is known again as it was found, for the same takes and settings', async () => {
    const found = memory();
    expect(await new JobMemory(found, job(many)).whole()).toBe(null);
    await new JobMemory(found, job(many)).keepWhole(ANSWER);
    expect(await new JobMemory(found, job(structuredClone(many))).whole()).toEqual(ANSWER);
  });

  test.each<[string, Job]>([
    ['other settings', job(many, { base: { ...guard, releaseRatio: 0.5 } })],
    ['another smoothing', job(many, { smoothing: { ...smoothing, cutoffHz: 9 } })],
    ['a take less', job(many.slice(1))],
    ['another order', job([...many].reverse())],
    ['another name', job(changed(3, { title: 'Renamed' }))],
    ['another performer', job(changed(3, { performer: 'Understudy' }))],
    ['a take that is left out', job(changed(3, { unfit: { kind: 'check', failed: ['gaps'] } }))],
    ['other signals', job(changed(3, { content: { signals: 'others', labels: 'labels' } }))],
    ['other labels', job(changed(3, { content: { signals: 'signals 3', labels: 'others' } }))],
    ['labels that are not saved', job(changed(3, { labels: EMPTY_LABELS }))],
    ['a take of which the list tells nothing', job(changed(3, { content: null }))],
  ])('%s: it is another job', async (_, other) => {
    const found = memory();
    await new JobMemory(found, job(many)).keepWhole(ANSWER);
    expect(await new JobMemory(found, other).whole()).toBe(null);
  });

  test('labels that are not saved are known again once they are', async () => {
    const found = memory();
    await new JobMemory(found, job(changed(3, { labels: EMPTY_LABELS }))).keepWhole(ANSWER);
    const saved = { signals: 'signals 3', labels: await sha256(JSON.stringify(EMPTY_LABELS)) };
    const now = job(changed(3, { content: saved, revision: 2 }));
    expect(await new JobMemory(found, now).whole()).toEqual(ANSWER);
  });

  test('is not kept where a take could not be read, or had changed by then', async () => {
    const found = memory();
    await new JobMemory(found, job(many)).keepWhole({ ...ANSWER, failed: [{ title: 'x', message: 'gone' }] });
    expect(await new JobMemory(found, job(many)).whole()).toBe(null);
    const whole = new JobMemory(found, job(many));
    const piece = { found: { doubts: [], value: 1 } };
    await whole.tookIn(many[3]!, { ...piece, content: many[3]!.content! });
    await whole.tookIn(many[4]!, { ...piece, content: { signals: 'signals 4', labels: 'newer' } });
    await whole.keepWhole(ANSWER);
    expect(await new JobMemory(found, job(many)).whole()).toBe(null);
  });

  test('is not kept either where a piece that was of another content by then is left of an earlier job', async () => {
    const found = memory();
    const takes = many.map((take) => ({ ...take, revision: 77 }));
    const asked: ReversalsJob = { kind: 'reversals', guard, smoothing, takes };
    const value = { rows: [], slips: [], strays: 0, evidence: { unfit: null }, holds: [] };
    let finds = 0;
    const runWith = async (contentOf: (take: JobTake) => TakeContent) => {
      const its = new JobMemory(found, asked);
      const { around, told } = surroundings({
        find: async (take) => {
          ++finds;
          return { found: { doubts: [], value }, content: contentOf(take) };
        },
        tookIn: (take, piece) => its.tookIn(take, piece),
      });
      await runReversalsJob(asked, around);
      await its.keepWhole(told.at(-1)!);
    };
    const newer = { signals: 'signals 4', labels: 'newer' };
    await runWith((take) => (take === takes[4] ? newer : take.content!));
    await runWith((take) => take.content!);
    expect(finds).toBe(takes.length);
    expect(await new JobMemory(found, asked).whole()).toBe(null);
  });

  test('of a few takes is put together from its pieces', async () => {
    const found = memory();
    await new JobMemory(found, job(many.slice(0, 5))).keepWhole(ANSWER);
    expect(await new JobMemory(found, job(many.slice(0, 5))).whole()).toBe(null);
  });

  test.each<[string, () => Promise<JobValue>]>([
    ['a guard by presses', () => answerTo({ kind: 'guard', base: guard, smoothing, takes: given })],
    [
      'a guard by motion',
      () => answerTo({ kind: 'motion', base: { ...guard, patienceMs: 500 }, smoothing, takes: given }),
    ],
    [
      'a deflection',
      () => answerTo({ kind: 'deflection', base: DEFAULT_CANDIDATE.deflection, smoothing, takes: given }),
    ],
    ['reversals', () => reversals({ kind: 'reversals', guard, smoothing, takes: given })],
  ])('%s comes back to the bit', async (_, answer) => {
    const found = memory();
    const value = await answer();
    await new JobMemory(found, job(many)).keepWhole(value);
    expect(await new JobMemory(found, job(many)).whole()).toStrictEqual(value);
  });
});

async function answerTo(asked: Parameters<typeof runChoiceJob>[0]): Promise<JobValue> {
  const { around, told } = surroundings();
  await runChoiceJob(asked, around);
  return told.at(-1)!;
}

async function reversals(asked: ReversalsJob): Promise<JobValue> {
  const { around, told } = surroundings();
  await runReversalsJob(asked, around);
  return told.at(-1)!;
}

describe('a piece', () => {
  const { takes: _, ...settings } = job(many);
  const piece = { what: 'part', job: settings } as const;
  const FOUND = { doubts: ['a doubt'], value: { grid: Float64Array.of(2) } };

  test('is known by the content that the list tells of, whoever found it', async () => {
    const found = memory();
    await keepPacked(found, namedPiece(many[3]!.content!, piece, many[3]!), FOUND);
    const asking = new JobMemory(found, job(many));
    expect(await asking.piece(many[3]!, piece)).toEqual({ found: FOUND, content: many[3]!.content });
    expect(await asking.piece(many[4]!, piece)).toBe(null);
    const [newer] = changed(3, { content: { signals: 'signals 3', labels: 'others' } }).slice(3);
    expect(await asking.piece(newer!, piece)).toBe(null);
    expect(await asking.piece({ ...many[3]!, content: null }, piece)).toBe(null);
  });

  test('of other settings is another one, wherever the two stand that the map goes over', async () => {
    const found = memory();
    await keepPacked(found, namedPiece(many[3]!.content!, piece, many[3]!), FOUND);
    const asking = new JobMemory(found, job(many));
    const at = (base: GuardJob['base']) => ({ what: 'part', job: { ...settings, base } }) as const;
    expect(await asking.piece(many[3]!, at({ ...guard, speedDps: 300, holdMs: 500 }))).toMatchObject({
      found: FOUND,
    });
    expect(await asking.piece(many[3]!, at({ ...guard, releaseRatio: 0.5 }))).toBe(null);
    const check = { what: 'check', job: settings, at: { place: { x: 1, y: 1 }, borders: [] } } as const;
    expect(await asking.piece(many[3]!, check)).toBe(null);
  });
});
