import { randomBytes } from 'node:crypto';
import type { Readable } from 'node:stream';
import { TakeNotFoundError } from '../../errors.ts';
import { importArchive, planImport } from '../../store/archive/importArchive.ts';
import { type Archive, openArchive } from '../../store/archive/readArchive.ts';
import { archiveOf, recordedBytes } from '../../store/archive/writeArchive.ts';
import {
  type ArchiveOffer,
  type ArchivePlan,
  ArchiveRequestSchema,
  type ArchiveResult,
  ArchiveUploadSchema,
  IdParamsSchema,
  type JobStartedBody,
} from '../schemas.ts';
import type { App, Deps } from '../types.ts';

/** Zips that may still be fetched: no more than a page asks for before it fetches them. */
const OFFERS_AT_MOST = 32;

/** Takes as a zip for somebody else, and such a zip from somebody else. */
export function archiveRoutes(api: App, { workspace, jobs }: Deps): void {
  /** Which takes go into each; null for all. A list of many would not fit into an address. */
  const offers = new Map<string, readonly string[] | null>();

  /** Opens an uploaded zip while something is done with it. */
  const withArchive = async <Result>(
    uploadId: string,
    doWith: (archive: Archive, name: string) => Promise<Result>,
  ): Promise<Result> => {
    const [upload] = await workspace.uploads.sources([uploadId]);
    const archive = await openArchive(upload!.path, upload!.name);
    try {
      return await doWith(archive, upload!.name);
    } finally {
      archive.close();
    }
  };

  api.post(
    '/archives/offers',
    { schema: { body: ArchiveRequestSchema } },
    async ({ body: { takeIds } }): Promise<ArchiveOffer> => {
      const sizeBytes = await recordedBytes(workspace, takeIds);
      const archiveId = randomBytes(12).toString('hex');
      offers.set(archiveId, takeIds);
      if (offers.size > OFFERS_AT_MOST) offers.delete(offers.keys().next().value!);
      return { archiveId, sizeBytes };
    },
  );

  api.get('/archives/:id', { schema: { params: IdParamsSchema } }, async ({ params }, reply) => {
    const ids = offers.get(params.id);
    if (ids === undefined)
      throw new TakeNotFoundError('This zip is no longer offered. Choose its takes again.');
    const now = new Date().toISOString();
    const bytes = (await archiveOf(workspace, ids, now)) as AsyncIterable<Uint8Array> & Readable;
    reply.header('content-disposition', `attachment; filename="moulinet-${now.slice(0, 10)}.zip"`);
    return reply.type('application/zip').send(bytes);
  });

  api.post(
    '/archives/plans',
    { schema: { body: ArchiveUploadSchema } },
    async ({ body }): Promise<ArchivePlan> =>
      withArchive(body.uploadId, async (archive) => planImport(workspace, archive)),
  );

  api.post('/archives', { schema: { body: ArchiveUploadSchema } }, async ({ body }, reply) => {
    await workspace.uploads.sources([body.uploadId]);
    const jobId = jobs.start(async (hooks): Promise<ArchiveResult> => {
      const added = await workspace.uploads.useUp([body.uploadId], () =>
        withArchive(body.uploadId, (archive, name) => importArchive(workspace, archive, name, hooks)),
      );
      return { takeIds: added.map(({ id }) => id) };
    });
    return reply.code(202).send({ jobId } satisfies JobStartedBody);
  });
}
