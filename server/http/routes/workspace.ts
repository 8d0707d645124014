import type { JobStartedBody, WorkspaceBody } from '../schemas.ts';
import type { App, Deps } from '../types.ts';

export function workspaceRoutes(api: App, { workspace, demo }: Deps): void {
  api.get('/workspace', async (): Promise<WorkspaceBody> => {
    const { name, path, takes, candidates } = workspace;
    return {
      name,
      path,
      takes: takes.list(),
      candidates: candidates.get(),
      demoJobId: demo.id(),
      problems: workspace.problems,
    };
  });

  /** Adds the demonstration takes that are not there. */
  api.post('/demo', async (_request, reply) => {
    return reply.code(202).send({ jobId: demo.id() ?? demo.start() } satisfies JobStartedBody);
  });
}
