import type { WorkspaceBody } from '../schemas.ts';
import type { App, Deps } from '../types.ts';

export function workspaceRoutes(api: App, { workspace, demoJobId }: Deps): void {
  api.get('/workspace', async (): Promise<WorkspaceBody> => {
    const { name, path, takes, candidates } = workspace;
    return {
      name,
      path,
      takes: takes.list(),
      candidates: candidates.get(),
      demoJobId: demoJobId(),
      problems: workspace.problems,
    };
  });
}
