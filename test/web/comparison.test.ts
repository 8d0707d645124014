import { describe, expect, test, vi } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import type { CompareReply } from '../../web/compare/compareTake.ts';
import { Comparison } from '../../web/compare/comparison.ts';
import { Stopped } from '../../web/takes/requests.ts';

vi.mock('../../web/api.ts');

import { B, C, made, NOTHING, SMOOTHER, stray, takes, work } from './comparisons.ts';

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

  test('a threshold needs no new grid, another smoothing or rule of the button does', async () => {
    const { run } = made();
    await run(takes('x'));
    expect((await run(takes('x'), work(C, B))).asked).toEqual(['x 1']);
    expect((await run(takes('x'), work(SMOOTHER, B))).asked).toEqual(['x 1 grid']);
    const long = withField(DEFAULT_CANDIDATE, 'guard.pressLength', 'long');
    expect((await run(takes('x'), work(long, B))).asked).toEqual(['x 1 grid']);
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
});
