import { describe, expect, test, vi } from 'vitest';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import type { TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { fetchTake } from '../../web/api.ts';
import type { CompareReply } from '../../web/compare/compareTake.ts';
import { type ComparedWork, Comparison, type Wants } from '../../web/compare/comparison.ts';
import { contentOf } from '../../web/takes/content.ts';
import { TakeDocuments } from '../../web/takes/documents.ts';
import type { ComparedParts, KnownParts } from '../../web/takes/found.ts';
import { type Request, Stopped } from '../../web/takes/requests.ts';

vi.mock('../../web/api.ts');

const B = withField(DEFAULT_CANDIDATE, 'guard.holdMs', 200);
const C = withField(DEFAULT_CANDIDATE, 'guard.holdMs', 300);
const SMOOTHER = withField(DEFAULT_CANDIDATE, 'smoothing.cutoffHz', 12);
const work = (a = DEFAULT_CANDIDATE, b = B, labels: ComparedWork['labels'] = {}): ComparedWork => ({
  candidates: { a, b },
  labels,
  settings: [],
});
const stray: Labels = {
  ...EMPTY_LABELS,
  presses: [{ downUs: 5, button: 'power', intent: 'stray', by: 'person' }],
};

const listed = (id: string) => ({ signals: `signals of ${id}`, labels: 'labels' });

/** As the list names them, none of them is what its document says: nothing is known by it. */
function takes(...ids: string[]): TakeSummary[] {
  return ids.map(
    (id) => ({ id, title: id, performer: '', durationS: 1, revision: 0, content: listed(id) }) as TakeSummary,
  );
}

const NOTHING: KnownParts = { facts: undefined, stock: undefined, swept: undefined, scores: [] };

/** A comparison with sources that note what they are asked for; a reply tells its request by identity. */
function made(options: { failing?: string; known?: (wanted: ComparedParts) => KnownParts } = {}) {
  const asked: string[] = [];
  const fetched: string[] = [];
  let revision = 0;
  let leverArmM = 0;
  vi.mocked(fetchTake).mockImplementation(async (id) => {
    fetched.push(id);
    const calibration = { leverArmM };
    const presses = [
      { button: 'power', downUs: 5, upUs: null },
      { button: 'aux', downUs: 6, upUs: null },
    ];
    const rest = { labels: EMPTY_LABELS, presses, calibration, powerButton: 'power' };
    return { id, revision, sources: [], mapping: {}, ...rest } as unknown as TakeDocument;
  });
  const lookups: string[][] = [];
  const comparison = new Comparison({
    documents: new TakeDocuments(),
    known: async (wanted) => {
      if (wanted.length > 0) lookups.push(wanted.map(({ takeId }) => takeId));
      return wanted.map((one) => options.known?.(one) ?? NOTHING);
    },
    // As the desk asks: one after another, and no more once stopped.
    ask: (_takeId, prepare, stopped) => {
      queue = queue
        .catch(() => {})
        .then(async () => {
          if (stopped.aborted) throw new Stopped();
          const request = await prepare();
          return request && reply(request);
        });
      return queue;
    },
  });
  let queue: Promise<CompareReply | null> = Promise.resolve(null);
  const reply = (request: Request<'compare'>): CompareReply => {
    if (request.takeId === options.failing) throw new Error('its columns are gone');
    const { takeId, wantsFacts, wantsStock, candidates, sweepAs } = request;
    asked.push(
      [
        takeId,
        wantsFacts ? 'facts' : '',
        wantsStock ? 'stock' : '',
        `${candidates.length}`,
        sweepAs ? 'grid' : '',
      ]
        .filter(Boolean)
        .join(' '),
    );
    expect(request.powerPresses).toHaveLength(1);
    return {
      facts: wantsFacts ? ({ of: takeId } as never) : null,
      stock: wantsStock ? ({ of: takeId } as never) : null,
      scores: candidates.map((candidate) => ({ holdMs: candidate.guard.holdMs }) as never),
      swept: sweepAs && ({ of: takeId } as never),
    };
  };
  const run = async (summaries: TakeSummary[], at = work(), wants: Wants = 'grids', stopAfter = Infinity) => {
    asked.splice(0);
    const progress: string[] = [];
    const stopped = new AbortController();
    await comparison.run(
      summaries,
      at,
      wants,
      ({ done, total }) => {
        progress.push(`${done}/${total}`);
        if (done >= stopAfter) stopped.abort();
      },
      stopped.signal,
    );
    return { asked: [...asked], progress };
  };
  return {
    comparison,
    run,
    fetched,
    lookups,
    change: (to: { revision: number; leverArmM: number }) => ({ revision, leverArmM } = to),
  };
}

describe('Comparison', () => {
  test('asks one take after another, and tells how far it is', async () => {
    const { run } = made();
    expect(await run(takes('x', 'y'))).toEqual({
      asked: ['x facts 2 grid', 'y facts 2 grid'],
      progress: ['0/2', '1/2', '2/2'],
    });
  });

  test('asks nothing again; a changed candidate is asked for alone, and going back to one costs nothing', async () => {
    const { run } = made();
    await run(takes('x'));
    expect((await run(takes('x'))).asked).toEqual([]);
    expect((await run(takes('x'), work(DEFAULT_CANDIDATE, C))).asked).toEqual(['x 1']);
    expect((await run(takes('x'), work(DEFAULT_CANDIDATE, B))).asked).toEqual([]);
  });

  test('a threshold needs no new grid, another smoothing does', async () => {
    const { run } = made();
    await run(takes('x'));
    expect((await run(takes('x'), work(C, B))).asked).toEqual(['x 1']);
    expect((await run(takes('x'), work(SMOOTHER, B))).asked).toEqual(['x 1 grid']);
  });

  test('equal candidates are scored once', async () => {
    const { run, comparison } = made();
    expect((await run(takes('x'), work(B, B))).asked).toEqual(['x facts 1 grid']);
    const [row] = comparison.rows(takes('x'), work(B, B));
    expect(row!.a).toBe(row!.b);
  });

  test('changed labels are worked out anew; equal ones in another object are not', async () => {
    const { run, comparison } = made();
    await run(takes('x'));
    expect(
      (await run(takes('x'), work(undefined, undefined, { x: structuredClone(EMPTY_LABELS) }))).asked,
    ).toEqual([]);
    const labelled = work(undefined, undefined, { x: stray });
    expect(comparison.rows(takes('x'), labelled)[0]).toMatchObject({
      facts: null,
      a: null,
      b: null,
      swept: null,
    });
    expect((await run(takes('x'), labelled)).asked).toEqual(['x facts 2 grid']);
  });

  test('what was found of an older revision is not shown; a newer one is read once, and worked out if it differs', async () => {
    const { comparison, run, fetched, change } = made();
    await run(takes('x'));
    const newer = (revision: number) => takes('x').map((take) => ({ ...take, revision }));
    expect(comparison.rows(newer(3), work())[0]).toMatchObject({
      facts: null,
      a: null,
      b: null,
      swept: null,
    });
    change({ revision: 3, leverArmM: 0 });
    expect((await run(newer(3))).asked).toEqual([]);
    expect(comparison.rows(newer(3), work())[0]).toMatchObject({ a: { holdMs: 0 }, b: { holdMs: 200 } });
    change({ revision: 4, leverArmM: 0.3 });
    expect((await run(newer(4))).asked).toEqual(['x facts 2 grid']);
    await run(newer(4));
    expect(fetched).toEqual(['x', 'x', 'x']);
  });

  test('rows show what is known so far, and nothing of an older candidate', async () => {
    const { run, comparison } = made();
    await run(takes('x', 'y'), work(), 'grids', 1);
    const rows = comparison.rows(takes('x', 'y'), work());
    expect(rows.map(({ a, b }) => [a, b])).toEqual([
      [{ holdMs: 0 }, { holdMs: 200 }],
      [null, null],
    ]);
    expect(comparison.rows(takes('x', 'y'), work())[0]).toBe(rows[0]);
    expect(comparison.rows(takes('x'), work(C))[0]).toMatchObject({ a: null, b: { holdMs: 200 } });
  });

  test('cancelled, it stops after the take under way, and goes on where it was', async () => {
    const { run } = made();
    expect((await run(takes('x', 'y', 'z'), work(), 'grids', 1)).asked).toEqual(['x facts 2 grid']);
    expect((await run(takes('x', 'y', 'z'))).asked).toEqual(['y facts 2 grid', 'z facts 2 grid']);
  });

  test('cancelled while a document is on its way, it takes nothing from the run that followed', async () => {
    const given: (() => void)[] = [];
    const document = { id: 'x', revision: 0, labels: EMPTY_LABELS, presses: [], sources: [], mapping: {} };
    const comparison = new Comparison({
      documents: {
        read: () => new Promise((resolve) => given.push(() => resolve(document as unknown as TakeDocument))),
      },
      known: async (wanted) => wanted.map(() => NOTHING),
      ask: async (_takeId, prepare, stopped) => {
        const request = await prepare();
        await answered;
        if (stopped.aborted) throw new Stopped();
        return request && ({ facts: {}, stock: {}, scores: [], swept: null } as unknown as CompareReply);
      },
    });
    let answer = (): void => {};
    const answered = new Promise<void>((resolve) => {
      answer = resolve;
    });
    const stopped = new AbortController();
    const run = (signal: AbortSignal) => comparison.run(takes('x'), work(), 'stock', () => {}, signal);
    const runs = [run(stopped.signal), run(new AbortController().signal)];
    await vi.waitFor(() => expect(given).toHaveLength(2));
    stopped.abort();
    for (const give of given.reverse()) {
      give();
      await new Promise((resolve) => setTimeout(resolve, 0));
    }
    answer();
    await Promise.all(runs);
    expect(comparison.rows(takes('x'), work())[0]!.stock).not.toBeNull();
  });

  test('a plan asks for stock alone, and shares the facts; grids are asked for where somebody looks at them', async () => {
    const { run } = made();
    expect((await run(takes('x'), work(), 'stock')).asked).toEqual(['x facts stock 0']);
    expect((await run(takes('x'), work(), 'scores')).asked).toEqual(['x 2']);
    expect((await run(takes('x'), work(), 'grids')).asked).toEqual(['x 0 grid']);
    expect((await run(takes('x'), work(), 'stock')).asked).toEqual([]);
  });

  test('a take that cannot be read is told of, and the others are compared all the same', async () => {
    const { run, comparison } = made({ failing: 'x' });
    expect((await run(takes('x', 'y'))).asked).toEqual(['y facts 2 grid']);
    const [x, y] = comparison.rows(takes('x', 'y'), work());
    expect(x).toMatchObject({ problem: 'its columns are gone', a: null });
    expect(y!.problem).toBe(null);
  });

  const found = ({ takeId, wantsFacts, candidates, sweepAs }: ComparedParts): KnownParts => ({
    facts: wantsFacts ? ({ of: `${takeId}, before` } as never) : undefined,
    stock: undefined,
    swept: sweepAs ? ({ of: `${takeId}, before` } as never) : undefined,
    scores: candidates.map(({ guard }) => ({ holdMs: guard.holdMs, before: true }) as never),
  });

  test('what was found before is looked up for all takes at once, and nothing is read or asked', async () => {
    const { run, comparison, fetched, lookups } = made({ known: found });
    expect(await run(takes('x', 'y'))).toEqual({ asked: [], progress: ['0/2', '2/2'] });
    expect([lookups, fetched]).toEqual([[['x', 'y']], []]);
    const [x, y] = comparison.rows(takes('x', 'y'), work());
    expect(x).toMatchObject({
      facts: { of: 'x, before' },
      a: { holdMs: 0, before: true },
      b: { holdMs: 200, before: true },
      swept: { of: 'x, before' },
    });
    expect(y!.swept).toEqual({ of: 'y, before' });
    // Nothing is missing any longer: nobody looks again.
    await run(takes('x', 'y'));
    expect(lookups).toHaveLength(1);
  });

  test('only what is missing of it is asked for', async () => {
    const { run } = made({
      known: (wanted) =>
        wanted.takeId === 'y'
          ? { ...found(wanted), swept: undefined, scores: [undefined, found(wanted).scores[1]] }
          : found(wanted),
    });
    // The document of y is not what the list says: nothing of what was known of that is taken for it.
    expect((await run(takes('x', 'y'))).asked).toEqual(['y facts 2 grid']);
    const other = made({
      known: (wanted) => ({
        ...found(wanted),
        swept: undefined,
        scores: [undefined, found(wanted).scores[1]],
      }),
    });
    const content = await contentOf(await fetchTake('y'));
    const [y] = takes('y').map((take) => ({ ...take, content }));
    expect((await other.run([y!])).asked).toEqual(['y 1 grid']);
    expect(other.comparison.rows([y!], work())[0]).toMatchObject({
      facts: { of: 'y, before' },
      a: { holdMs: 0 },
      b: { before: true },
    });
  });

  test('labels that were changed here are not what the list tells of; a take listed otherwise is looked up anew', async () => {
    const { run, comparison, lookups } = made({ known: found });
    const labelled = work(undefined, undefined, { x: stray });
    expect((await run(takes('x', 'y'), labelled)).asked).toEqual(['x facts 2 grid']);
    expect(lookups).toEqual([['y']]);
    expect(comparison.rows(takes('x'), labelled)[0]!.facts).toEqual({ of: 'x' });

    const [y] = takes('y').map((take) => ({ ...take, content: { ...listed('y'), labels: 'others' } }));
    expect(comparison.rows([y!], work())[0]).toMatchObject({ facts: null, a: null, swept: null });
    await run([y!]);
    expect(lookups.at(-1)).toEqual(['y']);
    expect(comparison.rows([y!], work())[0]!.facts).toEqual({ of: 'y, before' });
  });

  test('a take that is opened keeps what was looked up of it, once its document is seen to be that', async () => {
    const { run, comparison } = made({ known: found });
    const document = await fetchTake('x');
    const [opened] = await Promise.all(
      takes('x').map(async (take) => ({ ...take, content: await contentOf(document) })),
    );
    await run([opened!]);
    const open = work(undefined, undefined, { x: structuredClone(EMPTY_LABELS) });
    expect(comparison.rows([opened!], open)[0]!.facts).toBe(null);
    expect((await run([opened!], open)).asked).toEqual([]);
    expect(comparison.rows([opened!], open)[0]!.facts).toEqual({ of: 'x, before' });
  });
});
