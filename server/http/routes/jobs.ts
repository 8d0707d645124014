import { IdParamsSchema, type JobBody } from '../schemas.ts';
import type { App, Deps } from '../types.ts';

export function jobRoutes(api: App, { jobs }: Deps): void {
  api.get(
    '/jobs/:id',
    { schema: { params: IdParamsSchema } },
    async ({ params }): Promise<JobBody> => jobs.get(params.id),
  );

  api.delete('/jobs/:id', { schema: { params: IdParamsSchema } }, async ({ params }, reply) => {
    await jobs.cancel(params.id);
    return reply.code(204).send();
  });
}
