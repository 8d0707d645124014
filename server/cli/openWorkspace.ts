import type { IngestRunner } from '../store/ingestTasks.ts';
import { Workspace } from '../store/workspace.ts';

/** For commands that read no logs. */
const never = () => Promise.reject(new Error('this command reads no logs'));

const NO_INGEST: IngestRunner = {
  preview: never,
  read: never,
  mapTimes: never,
  overview: never,
  close: () => Promise.resolve(),
};

/** Has a workspace open while something is done with it. @throws WorkspaceError  where another process has it open */
export async function withWorkspace(
  folder: string,
  doWith: (workspace: Workspace) => Promise<void>,
): Promise<void> {
  const workspace = await Workspace.open(folder, { ingest: NO_INGEST });
  try {
    await doWith(workspace);
  } finally {
    await workspace.close();
  }
}
