import { IdParamsSchema } from '../schemas.ts';
import type { App, Deps } from '../types.ts';

export function mappingRoutes(api: App, { workspace }: Deps): void {
  api.delete('/mappings/:id', { schema: { params: IdParamsSchema } }, async ({ params }, reply) => {
    await workspace.mappings.forget(params.id);
    return reply.code(204).send();
  });
}
