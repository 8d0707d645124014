import { beforeEach, describe, expect, test, vi } from 'vitest';
import type { TakeDocument, TakeSummary, WorkspaceBody } from '../../server/http/schemas.ts';
import { fetchTake, fetchTakes, fetchWorkspace, patchTake } from '../../web/api.ts';
import { workspace } from '../../web/state/workspace.ts';
import { TakeDocuments } from '../../web/takes/documents.ts';

vi.mock('../../web/api.ts');

const COUNT = 70;
const idOf = (i: number) => `take-${i}`;
let revision: number;
let documents: TakeDocuments;

const document = (id: string) =>
  ({ id, revision, title: id, labels: {}, mapping: {} }) as unknown as TakeDocument;

beforeEach(() => {
  vi.resetAllMocks();
  revision = 0;
  documents = new TakeDocuments();
  const takes = Array.from({ length: COUNT }, (_, i) => ({ id: idOf(i), revision: 0 }) as TakeSummary);
  workspace.value = { takes } as unknown as WorkspaceBody;
  vi.mocked(fetchTake).mockImplementation(async (id) => document(id));
  vi.mocked(fetchTakes).mockImplementation(async (ids) => ({ documents: ids.map(document) }));
});

describe('documents of many takes', () => {
  test('come thirty at a time, each once, whoever asks for which first', async () => {
    const ids = Array.from({ length: COUNT }, (_, i) => idOf(i));
    const read = await Promise.all(ids.map((id) => documents.read(id)));
    expect(read.map(({ id }) => id)).toEqual(ids);
    const asked = vi.mocked(fetchTakes).mock.calls.map(([some]) => some.length);
    expect(asked).toEqual([30, 30, 10]);
    expect(fetchTake).not.toHaveBeenCalled();
  });

  test('the last of them is asked for alone, and what is known is not asked for again', async () => {
    await documents.read(idOf(COUNT - 1));
    expect(vi.mocked(fetchTake).mock.calls).toEqual([[idOf(COUNT - 1)]]);
    await documents.read(idOf(COUNT - 1));
    await documents.read(idOf(COUNT - 2));
    expect(fetchTake).toHaveBeenCalledTimes(2);
    expect(fetchTakes).not.toHaveBeenCalled();
  });

  test('one that cannot be read with the others is asked for alone, which says why', async () => {
    vi.mocked(fetchTakes).mockImplementation(async (ids) => ({
      documents: ids.filter((id) => id !== idOf(3)).map(document),
    }));
    vi.mocked(fetchTake).mockRejectedValue(new Error('torn'));
    const read = [0, 3, 4].map((i) => documents.read(idOf(i)));
    await expect(read[1]).rejects.toThrow('torn');
    expect((await read[0]!).id).toBe(idOf(0));
    expect((await read[2]!).id).toBe(idOf(4));
    expect(vi.mocked(fetchTake).mock.calls).toEqual([[idOf(3)]]);
  });

  test('where none comes, each is asked for alone', async () => {
    vi.mocked(fetchTakes).mockRejectedValue(new Error('an older server'));
    expect((await documents.read(idOf(0))).id).toBe(idOf(0));
    expect(fetchTake).toHaveBeenCalledTimes(1);
  });

  test('where some are newer than the list tells, it is asked for anew, once; a change of the page’s own is none of these', async () => {
    vi.mocked(fetchWorkspace).mockImplementation(
      async () =>
        ({
          takes: workspace.peek()!.takes.map((take) => ({ ...take, revision })),
        }) as unknown as WorkspaceBody,
    );
    await documents.read(idOf(0));
    expect(fetchWorkspace).not.toHaveBeenCalled();
    revision = 2;
    await documents.read(idOf(40));
    await expect.poll(() => workspace.value!.takes[0]!.revision).toBe(2);
    expect(fetchWorkspace).toHaveBeenCalledTimes(1);
    vi.mocked(patchTake).mockImplementation(async (id) => ({ ...document(id), revision: 3 }));
    await documents.patch(idOf(1), 2, { title: 'Another' });
    await Promise.resolve();
    expect(fetchWorkspace).toHaveBeenCalledTimes(1);
  });

  test('a later revision than came along is asked for anew', async () => {
    await documents.read(idOf(0));
    revision = 2;
    expect((await documents.read(idOf(5), 2)).revision).toBe(2);
  });
});
