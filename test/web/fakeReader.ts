import { vi } from 'vitest';
import type { NewTakeBody, Overrides, UploadPreview } from '../../server/http/schemas.ts';

type Progress = (fraction: number) => void;

/** What a test may change of it. */
export const untroubled = () => ({
  /** What was asked of it, in order. */
  asked: [] as [what: string, of: unknown][],
  /** What is remembered of every shape of log. */
  remembered: {} as Overrides,
  stored: { takeId: 'new', notRemembered: null as string | null },
  reread: { isStored: true, leftOut: null as string | null, notRemembered: null as string | null },
  refusal: null as Error | null,
});

/** A server that keeps files by name and knows from the name what a file holds. */
export const server = { ...untroubled(), uploads: new Set<string>(), jobs: new Map<string, () => unknown>() };

/** In the place of the page's own requests. */
export function fakeApi(real: typeof import('../../web/api.ts')) {
  const start = (what: string, of: unknown, result: () => unknown) => {
    server.asked.push([what, of]);
    const jobId = String(server.jobs.size);
    server.jobs.set(jobId, result);
    return Promise.resolve({ jobId });
  };
  const previewOf = (names: readonly string[], overrides: Overrides, applies: boolean) => {
    const bad = names.find((name) => name.startsWith('bad'));
    if (bad) throw new real.ApiError('LOG_FORMAT', `${bad}: no numbers`, 422);
    const holds = names.map((name) => ({ accel: /acc|log/.test(name), gyro: /gyr|log/.test(name) }));
    const found = (['accel', 'gyro'] as const).filter((kind) => holds.some((held) => held[kind]));
    const columns = found.map((kind) => ({ role: `${kind}X` }));
    const stated = { ...(applies ? server.remembered : {}), ...overrides };
    return { stated, mapping: { columns }, corrections: overrides, holds } as unknown as UploadPreview;
  };
  return {
    ...real,
    upload: vi.fn(async ({ name }: File, onProgress: Progress) => {
      onProgress(1);
      server.uploads.add(name);
      return { uploadId: name };
    }),
    discardUpload: async (id: string) => void server.uploads.delete(id),
    startPreview: (body: { uploadIds: string[]; overrides: Overrides; applyRemembered: boolean }) =>
      start('preview', body, () => previewOf(body.uploadIds, body.overrides, body.applyRemembered)),
    startTakePreview: (id: string, { overrides = {} }: { overrides?: Overrides }) =>
      start('takePreview', [id, overrides], () => previewOf(['log'], overrides, false)),
    startTake: (body: NewTakeBody) => start('take', body, () => server.stored),
    startReread: (id: string, body: object) => start('reread', { id, ...body }, () => server.reread),
    forgetMapping: vi.fn(async () => {}),
    fetchWorkspace: async () => ({ takes: [], demoJobId: null }),
    awaitJob: async (jobId: string, onProgress: Progress, signal: AbortSignal) => {
      await Promise.resolve();
      if (signal.aborted) throw new DOMException('stopped', 'AbortError');
      onProgress(0.5);
      if (server.refusal) throw server.refusal;
      return server.jobs.get(jobId)!();
    },
  };
}
