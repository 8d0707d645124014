import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';
import {
  type DocumentsBody,
  DocumentsQuerySchema,
  IdParamsSchema,
  type JobStartedBody,
  PatchTakeSchema,
  type RemovedTakes,
  type RereadResult,
  RereadSchema,
  SourceParamsSchema,
  type TakeDocument,
  type TakeOverview,
  TakePreviewSchema,
} from '../schemas.ts';
import type { App, Deps } from '../types.ts';

/** Larger than the default, since a take's columns are read from start to end. */
const CHUNK_BYTES = 1024 * 1024;

export function takeRoutes(api: App, { workspace, jobs }: Deps): void {
  const { takes } = workspace;
  const byId = { params: IdParamsSchema };

  /** Opened before anything is answered: a take that is removed meanwhile is a take that is not there. */
  const openColumns = async (id: string) => {
    try {
      const columns = await workspace.columns(id);
      return { ...columns, file: await open(columns.path) };
    } catch (error) {
      takes.get(id);
      throw error;
    }
  };

  api.get('/trash', async (): Promise<RemovedTakes> => takes.removed());

  api.get('/takes/:id', { schema: byId }, async ({ params }, reply): Promise<TakeDocument> => {
    const document = takes.get(params.id);
    reply.header('etag', `"${document.revision}"`);
    return document;
  });

  /** Of many takes at once, as far as they can be read; whoever asks for one of the others alone is told why. */
  api.get(
    '/documents',
    { schema: { querystring: DocumentsQuerySchema } },
    async ({ query }): Promise<DocumentsBody> => {
      const documents = query.ids.split(',').flatMap((id) => {
        try {
          return [takes.get(id)];
        } catch {
          return [];
        }
      });
      return { documents };
    },
  );

  api.patch('/takes/:id', { schema: { ...byId, body: PatchTakeSchema } }, async ({ params, body }, reply) => {
    const { revision, ...change } = body;
    const document = await takes.change(params.id, revision, change);
    reply.header('etag', `"${document.revision}"`);
    return document;
  });

  api.delete('/takes/:id', { schema: byId }, async ({ params }, reply) => {
    await takes.remove(params.id);
    return reply.code(204).send();
  });

  api.post('/takes/:id/restore', { schema: byId }, async ({ params }) => takes.restore(params.id));

  api.post(
    '/takes/:id/previews',
    { schema: { ...byId, body: TakePreviewSchema } },
    async (request, reply) => {
      const { params, body } = request;
      takes.get(params.id);
      const jobId = jobs.start((hooks) => workspace.previewTake(params.id, body.overrides ?? null, hooks));
      return reply.code(202).send({ jobId } satisfies JobStartedBody);
    },
  );

  api.post('/takes/:id/read', { schema: { ...byId, body: RereadSchema } }, async (request, reply) => {
    const { params, body } = request;
    takes.atRevision(params.id, body.revision);
    const jobId = jobs.start(async (hooks): Promise<RereadResult> => {
      const { document, leftOut, notRemembered } = await workspace.rereadTake(params.id, body, hooks);
      return { isStored: document !== null, leftOut, notRemembered };
    });
    return reply.code(202).send({ jobId } satisfies JobStartedBody);
  });

  api.get('/takes/:id/columns', { schema: byId }, async ({ params, headers }, reply) => {
    const { file, sizeBytes, key } = await openColumns(params.id);
    const etag = `"${key}"`;
    reply.header('etag', etag).header('cache-control', 'no-cache');
    if (headers['if-none-match'] === etag) {
      await file.close();
      return reply.code(304).send();
    }
    reply.header('content-length', sizeBytes).type('application/octet-stream');
    return reply.send(file.createReadStream({ highWaterMark: CHUNK_BYTES }));
  });

  api.get('/takes/:id/overview', { schema: byId }, async ({ params }, reply): Promise<TakeOverview> => {
    takes.get(params.id);
    reply.header('cache-control', 'no-cache');
    return workspace.overview(params.id);
  });

  api.get(
    '/takes/:id/source/:index',
    { schema: { params: SourceParamsSchema } },
    async ({ params }, reply) => {
      const source = await workspace.source(params.id, Number(params.index));
      reply.header('content-disposition', `attachment; filename*=UTF-8''${encodeName(source.name)}`);
      reply.header('content-length', source.sizeBytes).type('application/octet-stream');
      return reply.send(createReadStream(source.path, { highWaterMark: CHUNK_BYTES }));
    },
  );
}

/** As RFC 8187 has it: beyond what encodeURIComponent leaves alone, these are not allowed bare. */
export function encodeName(name: string): string {
  return encodeURIComponent(name).replace(/['()*]/g, (c) => `%${c.charCodeAt(0).toString(16).toUpperCase()}`);
}
