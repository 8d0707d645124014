import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { buildApp } from '../../server/http/app.ts';
import { Jobs } from '../../server/http/jobs.ts';
import type { JobBody } from '../../server/http/schemas.ts';
import type { App } from '../../server/http/types.ts';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { Workspace, type WorkspaceOptions } from '../../server/store/workspace.ts';
import { makeFolder } from '../store/temporaryFolder.ts';

export interface TestApp {
  readonly app: App;
  readonly workspace: Workspace;
  /** What the server would have written to its terminal. */
  readonly logged: unknown[];
}

/** The server as it is, on a workspace that goes away with the test, without a page unless one is given. */
export async function testApp(
  options: Partial<WorkspaceOptions> = {},
  webRoot: string | null = null,
): Promise<TestApp> {
  const test = await makeTestApp(options, webRoot);
  onTestFinished(test.close);
  return test;
}

/** The same for several tests; `close` takes the workspace away. */
export async function makeTestApp(
  options: Partial<WorkspaceOptions> = {},
  webRoot: string | null = null,
): Promise<TestApp & { readonly close: () => Promise<void> }> {
  const { folder, remove } = makeFolder();
  const workspace = await Workspace.open(join(folder, 'workspace'), { ingest: inlineIngest(), ...options });
  const logged: unknown[] = [];
  const logError = (error: unknown): void => void logged.push(error);
  const jobs = new Jobs(logError);
  const app = await buildApp(
    { workspace, jobs, demo: { id: () => null, start: () => 'none' } },
    { webRoot, logError },
  );
  const close = async (): Promise<void> => {
    await app.close();
    await jobs.close();
    await workspace.close();
    remove();
  };
  return { app, workspace, logged, close };
}

export async function upload(app: App, text: string, name = 'log.csv'): Promise<string> {
  const response = await app.inject({
    method: 'POST',
    url: `/api/uploads?name=${encodeURIComponent(name)}`,
    headers: { 'content-type': 'application/octet-stream' },
    payload: Buffer.from(text),
  });
  return response.json().uploadId;
}

/** Asks for a job until it is no longer running. */
export async function endOfJob(app: App, jobId: string): Promise<JobBody> {
  for (;;) {
    const body: JobBody = (await app.inject(`/api/jobs/${jobId}`)).json();
    if (body.state !== 'running') return body;
    await new Promise((resolve) => setImmediate(resolve));
  }
}
