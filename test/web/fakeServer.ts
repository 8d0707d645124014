import { createHash } from 'node:crypto';
import { contentTexts, type TakeContent } from '../../server/engine/kept/takeContent.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import type { PatchTakeBody, TakeDocument } from '../../server/http/schemas.ts';

/** A server that holds no more than the documents of takes. */
export const server = {
  takes: new Map<string, TakeDocument>(),
  removed: new Map<string, TakeDocument>(),
  demoJobId: null as string | null,
  /** What the next requests fail with, one after another. */
  failures: [] as Error[],
};

export function add(id: string, document: Partial<TakeDocument>): void {
  server.takes.set(id, {
    id,
    title: id.toUpperCase(),
    revision: 1,
    sources: [],
    mapping: {},
    report: { durationS: 1, rateHz: 100 },
    ...document,
  } as TakeDocument);
}

function contentOf(take: TakeDocument): TakeContent {
  const { signals, labels } = contentTexts(take);
  const sha256 = (text = '') => createHash('sha256').update(text).digest('hex');
  return { signals: sha256(signals), labels: sha256(labels) };
}

function answer<T>(value: T): T {
  const failure = server.failures.shift();
  if (failure) throw failure;
  return structuredClone(value);
}

function move(from: typeof server.takes, to: typeof server.takes, id: string): void {
  const document = from.get(id);
  if (!document) throw new Error(`no take ${id}`);
  to.set(id, answer(document));
  from.delete(id);
}

/** In the place of the page's own requests. */
export const fakeApi = (real: typeof import('../../web/api.ts')) => ({
  ...real,
  fetchWorkspace: async () =>
    answer({
      takes: [...server.takes.values()].map((take) => ({ ...take, content: contentOf(take) })),
      candidates: { revision: 0, a: DEFAULT_CANDIDATE, b: DEFAULT_CANDIDATE },
      demoJobId: server.demoJobId,
    }),
  fetchTake: async (id: string) => answer(server.takes.get(id)),
  patchTake: async (id: string, { revision, ...change }: PatchTakeBody) => {
    const now = answer(server.takes.get(id)!);
    if (now.revision !== revision) throw new real.ApiError('STORE_CONFLICT', 'an older revision', 409);
    const document = { ...now, ...change, revision: revision + 1 } as TakeDocument;
    server.takes.set(id, document);
    return structuredClone(document);
  },
  deleteTake: async (id: string) => move(server.takes, server.removed, id),
  restoreTake: async (id: string) => move(server.removed, server.takes, id),
});
