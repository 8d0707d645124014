import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import type { TakeDocument, TakeSummary, WorkspaceBody } from '../../server/http/schemas.ts';
import { fetchTake, fetchTakes } from '../../web/api.ts';
import { comparedTakes, compareStatus, followComparison } from '../../web/state/comparing.ts';
import { workspace } from '../../web/state/workspace.ts';
import { desk } from '../../web/takes/desk.ts';
import type { Request } from '../../web/takes/requests.ts';

vi.mock('../../web/api.ts');

beforeEach(() => {
  vi.useFakeTimers();
  vi.mocked(fetchTake).mockImplementation(
    async (id) =>
      ({
        id,
        revision: 0,
        sources: [],
        mapping: {},
        labels: EMPTY_LABELS,
        presses: [],
      }) as unknown as TakeDocument,
  );
  vi.mocked(fetchTakes).mockImplementation(async (ids) => ({
    documents: await Promise.all(ids.map((id) => fetchTake(id))),
  }));
  vi.spyOn(desk, 'askOf').mockImplementation(async (_kind, _takeId, prepare) => {
    const { wantsStock, candidates } = (await prepare()) as Request<'compare'>;
    return {
      facts: {},
      stock: wantsStock ? {} : null,
      scores: candidates.map(() => ({})),
      swept: null,
    } as never;
  });
  const takes = ['a', 'b'].map(
    (id) => ({ id, title: id, revision: 0, content: { signals: id, labels: id } }) as TakeSummary,
  );
  workspace.value = { takes } as unknown as WorkspaceBody;
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.useRealTimers();
});

test('a view that follows before the last one is taken down gets all that it wants', async () => {
  const leave = followComparison('scores');
  const leaveNext = followComparison('stock');
  leave();
  await vi.waitFor(() =>
    expect(comparedTakes.value.map(({ stock }) => stock !== null)).toEqual([true, true]),
  );
  expect(compareStatus.value).toEqual({ status: 'done', done: 2, total: 2 });
  leaveNext();
});
