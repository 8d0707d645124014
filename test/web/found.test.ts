import { expect, test } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import type { CompareReply, CompareWants } from '../../web/compare/compareTake.ts';
import { Found, type FoundStore } from '../../web/takes/found.ts';

const [A, B, C] = [0, 100, 200].map((ms) => withField(DEFAULT_CANDIDATE, 'guard.holdMs', ms)) as [
  Candidate,
  Candidate,
  Candidate,
];
const SMOOTHER = withField(A, 'smoothing.cutoffHz', 9);
function memory(): FoundStore & { readonly values: Map<string, unknown> } {
  const values = new Map<string, unknown>();
  return {
    values,
    get: async (keys) => keys.map((key) => structuredClone(values.get(key))),
    put: async (key, value) => void values.set(key, structuredClone(value)),
  };
}

const CONTENT = { signals: 'signals', labels: 'labels' };
const LABELLED = { ...CONTENT, labels: 'more labels' };

const wants = (rest: Partial<CompareWants>): CompareWants => ({
  takeId: 't',
  content: CONTENT,
  presses: [],
  powerPresses: [],
  deflectionPresses: null,
  labels: EMPTY_LABELS,
  wantsFacts: true,
  wantsStock: false,
  candidates: [A, B],
  sweepAs: A,
  ...rest,
});

/** Answers that tell what they were asked, and a list of what was worked out. */
function worker() {
  const worked: string[] = [];
  const work = async (missing: CompareWants): Promise<CompareReply> => {
    const { takeId, wantsFacts, wantsStock, candidates, sweepAs } = missing;
    const holds = candidates.map(({ guard }) => guard.holdMs);
    worked.push(
      [wantsFacts && 'facts', wantsStock && 'stock', sweepAs && 'swept', ...holds]
        .filter((x) => x !== false && x !== null)
        .join(' '),
    );
    const told = { of: takeId, peaks: Float64Array.of(1.5, 2.5) };
    return {
      facts: wantsFacts ? told : null,
      stock: wantsStock ? { stillS: 3 } : null,
      scores: candidates.map(({ guard, smoothing }) => ({ hold: guard.holdMs, smoothing })),
      swept: sweepAs && { grid: sweepAs.smoothing },
    } as unknown as CompareReply;
  };
  return { worked, work };
}

const holds = ({ scores }: CompareReply) => scores.map((one) => (one as unknown as { hold: number }).hold);

test('a comparison asks only for the parts that nobody has worked out, and puts all in the order asked for', async () => {
  const store = memory();
  const { worked, work } = worker();
  const first = await new Found(store, 'code').recallCompare(wants({}), work);
  // As after the page was opened again: nothing of it is worked out twice.
  const again = new Found(store, 'code');
  expect(await again.recallCompare(wants({}), work)).toEqual(first);
  expect(worked).toEqual(['facts swept 0 100']);

  const more = await again.recallCompare(wants({ candidates: [B, C, A], wantsStock: true }), work);
  expect(worked.slice(1)).toEqual(['stock 200']);
  expect(holds(more)).toEqual([100, 200, 0]);
  expect(more.facts).toEqual(first.facts);
  expect((more.facts as unknown as { peaks: Float64Array }).peaks).toBeInstanceOf(Float64Array);

  const smoother = wants({ candidates: [SMOOTHER], sweepAs: SMOOTHER, wantsFacts: false });
  expect((await again.recallCompare(smoother, work)).facts).toBe(null);
  expect(worked.slice(2)).toEqual(['swept 0']);
  const long = wants({ sweepAs: withField(A, 'guard.pressLength', 'long'), wantsFacts: false });
  await again.recallCompare(long, work);
  expect(worked.slice(3)).toEqual(['swept']);
});

test.each<[string, string, Partial<CompareWants>]>([
  ['other signals', 'code', { content: { ...CONTENT, signals: 'others' } }],
  ['other code', 'newer', {}],
  ['a new label', 'code', { content: LABELLED }],
  ['another take', 'code', { takeId: 'u' }],
])('%s: all is worked out anew', async (_, code, rest) => {
  const store = memory();
  const { worked, work } = worker();
  await new Found(store, 'code').recallCompare(wants({}), work);
  await new Found(store, code).recallCompare(wants(rest), work);
  expect(worked).toEqual(['facts swept 0 100', 'facts swept 0 100']);
});

test('what is known of many takes is looked up together, each part in its place', async () => {
  const store = memory();
  const lookups: number[] = [];
  const { get } = store;
  store.get = (keys) => {
    lookups.push(keys.length);
    return get(keys);
  };
  const found = new Found(store, 'code');
  const { work } = worker();
  const whole = await found.recallCompare(wants({ wantsStock: true }), work);
  await found.recallCompare(wants({ takeId: 'u', wantsFacts: false, candidates: [B], sweepAs: null }), work);
  lookups.splice(0);

  const known = await found.knownParts([
    wants({ wantsStock: true, candidates: [B, C, A] }),
    wants({ takeId: 'u', candidates: [A, B] }),
    wants({ takeId: 'v' }),
    wants({ wantsFacts: false, candidates: [], content: LABELLED }),
  ]);
  expect(lookups).toEqual([6 + 4 + 4 + 1]);
  const nothing = { facts: undefined, stock: undefined, swept: undefined };
  expect(known).toEqual([
    {
      facts: whole.facts,
      stock: whole.stock,
      swept: whole.swept,
      scores: [whole.scores[1], undefined, whole.scores[0]],
    },
    { ...nothing, scores: [undefined, whole.scores[1]] },
    { ...nothing, scores: [undefined, undefined] },
    { ...nothing, scores: [] },
  ]);
  expect(await found.knownParts([])).toEqual([]);
});

test('an answer that rests on signals alone is another than one that rests on labels, too', async () => {
  const found = new Found(memory(), 'code');
  const { signals } = CONTENT;
  await found.keep({ basis: { signals }, asked: 'check' }, 'by signals');
  await found.keep({ basis: CONTENT, asked: 'check' }, 'by both');
  expect(
    await found.known([
      { basis: { signals }, asked: 'check' },
      { basis: CONTENT, asked: 'check' },
      { basis: LABELLED, asked: 'check' },
    ]),
  ).toEqual(['by signals', 'by both', undefined]);
});

test('where nothing can be stored or read, all is worked out, and no fault is told', async () => {
  const broken: FoundStore = {
    get: () => Promise.reject(new Error('no database')),
    put: () => Promise.reject(new Error('the disk is full')),
  };
  const { worked, work } = worker();
  const found = new Found(broken, 'code');
  expect(holds(await found.recallCompare(wants({}), work))).toEqual([0, 100]);
  expect(await found.recall({ basis: CONTENT, asked: 'what' }, async () => 7)).toBe(7);
  expect(worked).toHaveLength(1);
});

test('an answer is recalled by all that was asked, and a fault is not kept', async () => {
  const found = new Found(memory(), 'code');
  const fail = async (): Promise<number> => {
    throw new Error('cannot be read');
  };
  await expect(found.recall({ basis: CONTENT, asked: { hold: 1 } }, fail)).rejects.toThrow('cannot be read');
  expect(await found.recall({ basis: CONTENT, asked: { hold: 1 } }, async () => 5)).toBe(5);
  expect(await found.recall({ basis: CONTENT, asked: { hold: 1 } }, fail)).toBe(5);
  expect(await found.recall({ basis: CONTENT, asked: { hold: 2 } }, async () => 6)).toBe(6);
});
