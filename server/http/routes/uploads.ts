import { Readable } from 'node:stream';
import { UploadBrokenError } from '../../store/errors.ts';
import {
  IdParamsSchema,
  type JobStartedBody,
  type NewTakeResult,
  NewTakeSchema,
  PreviewRequestSchema,
  type UploadBody,
  UploadQuerySchema,
} from '../schemas.ts';
import type { App, Deps } from '../types.ts';

/** From a file to a take: upload, preview, take. */
export function uploadRoutes(api: App, { workspace, jobs }: Deps): void {
  api.delete('/uploads/:id', { schema: { params: IdParamsSchema } }, async ({ params }, reply) => {
    await workspace.uploads.discard(params.id);
    return reply.code(204).send();
  });

  api.post('/previews', { schema: { body: PreviewRequestSchema } }, async ({ body }, reply) => {
    const jobId = jobs.start((hooks) =>
      workspace.preview(body.uploadIds, body.overrides, hooks, body.applyRemembered),
    );
    return reply.code(202).send({ jobId } satisfies JobStartedBody);
  });

  api.post('/takes', { schema: { body: NewTakeSchema } }, async ({ body }, reply) => {
    const jobId = jobs.start(async (hooks): Promise<NewTakeResult> => {
      const { document, notRemembered } = await workspace.addTakeAndRemember(body, hooks);
      return { takeId: document.id, notRemembered };
    });
    return reply.code(202).send({ jobId } satisfies JobStartedBody);
  });

  api.register(async (scope: App) => receiving(scope, { workspace }));
}

/** Apart, because here and only here a body is raw bytes, passed on as they come. */
function receiving(api: App, { workspace }: Pick<Deps, 'workspace'>): void {
  api.removeAllContentTypeParsers();
  api.addContentTypeParser('application/octet-stream', (_request, payload, done) => done(null, payload));

  api.post('/uploads', { schema: { querystring: UploadQuerySchema } }, async (request, reply) => {
    if (!(request.body instanceof Readable))
      throw new UploadBrokenError('The request is empty: send the bytes of a file as its body.');
    const announced = request.headers['content-length'];
    if (announced !== undefined) workspace.uploads.checkSize(Number(announced));
    const upload: UploadBody = await workspace.uploads.receive(request.query.name, request.body);
    return reply.code(201).send(upload);
  });
}
