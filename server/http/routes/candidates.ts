import { PutCandidatesSchema } from '../schemas.ts';
import type { App, Deps } from '../types.ts';

export function candidateRoutes(api: App, { workspace }: Deps): void {
  api.put('/candidates', { schema: { body: PutCandidatesSchema } }, async ({ body }) =>
    workspace.candidates.put(body.revision, body.a, body.b),
  );
}
