import { expect, test } from 'vitest';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
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
const STRAY: Labels = {
  ...EMPTY_LABELS,
  presses: [{ downUs: 5, button: 'power', intent: 'stray', by: 'person' }],
};

function memory(): FoundStore & { readonly values: Map<string, unknown> } {
  const values = new Map<string, unknown>();
  return {
    values,
    get: async (key) => structuredClone(values.get(key)),
    put: async (key, value) => void values.set(key, structuredClone(value)),
  };
}

const wants = (rest: Partial<CompareWants>): CompareWants => ({
  takeId: 't',
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
    const { wantsFacts, wantsStock, candidates, sweepAs, labels } = missing;
    const holds = candidates.map(({ guard }) => guard.holdMs);
    worked.push(
      [wantsFacts && 'facts', wantsStock && 'stock', sweepAs && 'swept', ...holds]
        .filter((x) => x !== false && x !== null)
        .join(' '),
    );
    const told = { of: labels.presses.length, peaks: Float64Array.of(1.5, 2.5) };
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
  const first = await new Found(store, 'code').recallCompare('columns', wants({}), work);
  // As after the page was opened again: nothing of it is worked out twice.
  const again = new Found(store, 'code');
  expect(await again.recallCompare('columns', wants({}), work)).toEqual(first);
  expect(worked).toEqual(['facts swept 0 100']);

  const more = await again.recallCompare('columns', wants({ candidates: [B, C, A], wantsStock: true }), work);
  expect(worked.slice(1)).toEqual(['stock 200']);
  expect(holds(more)).toEqual([100, 200, 0]);
  expect(more.facts).toEqual(first.facts);
  expect((more.facts as unknown as { peaks: Float64Array }).peaks).toBeInstanceOf(Float64Array);

  const smoother = wants({ candidates: [SMOOTHER], sweepAs: SMOOTHER, wantsFacts: false });
  expect((await again.recallCompare('columns', smoother, work)).facts).toBe(null);
  expect(worked.slice(2)).toEqual(['swept 0']);
});

test.each<[string, string, string, Partial<CompareWants>]>([
  ['other columns', 'code', 'others', {}],
  ['other code', 'newer', 'columns', {}],
  ['a new label', 'code', 'columns', { labels: STRAY }],
  ['another press', 'code', 'columns', { presses: [{ button: 'power', downUs: 1, upUs: 2 }] }],
  ['another take', 'code', 'columns', { takeId: 'u' }],
])('%s: all is worked out anew', async (_, code, basis, rest) => {
  const store = memory();
  const { worked, work } = worker();
  await new Found(store, 'code').recallCompare('columns', wants({}), work);
  await new Found(store, code).recallCompare(basis, wants(rest), work);
  expect(worked).toEqual(['facts swept 0 100', 'facts swept 0 100']);
});

test('where nothing can be stored or read, all is worked out, and no fault is told', async () => {
  const broken: FoundStore = {
    get: () => Promise.reject(new Error('no database')),
    put: () => Promise.reject(new Error('the disk is full')),
  };
  const { worked, work } = worker();
  const found = new Found(broken, 'code');
  expect(holds(await found.recallCompare('columns', wants({}), work))).toEqual([0, 100]);
  expect(await found.recall('columns', 'what', async () => 7)).toBe(7);
  expect(worked).toHaveLength(1);
});

test('an answer is recalled by all that was asked, and a fault is not kept', async () => {
  const found = new Found(memory(), 'code');
  const fail = async (): Promise<number> => {
    throw new Error('cannot be read');
  };
  await expect(found.recall('columns', { hold: 1 }, fail)).rejects.toThrow('cannot be read');
  expect(await found.recall('columns', { hold: 1 }, async () => 5)).toBe(5);
  expect(await found.recall('columns', { hold: 1 }, fail)).toBe(5);
  expect(await found.recall('columns', { hold: 2 }, async () => 6)).toBe(6);
});
