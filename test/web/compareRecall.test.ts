import { describe, expect, test } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import type { TakeSummary } from '../../server/http/schemas.ts';
import { Comparison } from '../../web/compare/comparison.ts';
import { contentOf } from '../../web/takes/content.ts';
import type { ComparedParts, KnownParts } from '../../web/takes/found.ts';
import { documentOf, listed, made, stray, takes, work } from './comparisons.ts';

describe('a comparison that was made before', () => {
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
    const content = await contentOf(await documentOf('y'));
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
    const document = await documentOf('x');
    const [opened] = await Promise.all(
      takes('x').map(async (take) => ({ ...take, content: await contentOf(document) })),
    );
    await run([opened!]);
    const open = work(undefined, undefined, { x: structuredClone(EMPTY_LABELS) });
    expect(comparison.rows([opened!], open)[0]!.facts).toBe(null);
    expect((await run([opened!], open)).asked).toEqual([]);
    expect(comparison.rows([opened!], open)[0]!.facts).toEqual({ of: 'x, before' });
  });

  test('what was looked up for work that was stopped meanwhile takes nothing from the work that followed', async () => {
    const answers: (() => void)[] = [];
    const comparison = new Comparison({
      documents: { read: async () => Promise.reject(new Error('nothing is to be read')) },
      known: async (wanted) => {
        if (wanted.length > 0) await new Promise<void>((resolve) => answers.push(resolve));
        return wanted.map(found);
      },
      ask: async () => null,
    });
    const run = (of: TakeSummary[], signal: AbortSignal) =>
      comparison.run(of, work(), 'grids', () => {}, signal);
    const stopped = new AbortController();
    const newer = takes('x').map((take) => ({ ...take, content: { ...listed('x'), labels: 'others' } }));
    const runs = [run(takes('x'), stopped.signal)];
    stopped.abort();
    runs.push(run(newer, new AbortController().signal));
    for (const answer of [answers[1]!, answers[0]!]) {
      answer();
      await Promise.resolve();
    }
    await Promise.all(runs);
    expect(comparison.rows(newer, work())[0]).toMatchObject({ facts: { of: 'x, before' } });
  });
});
