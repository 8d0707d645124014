/** Opens the workspace, listens on this machine only, and stops in good order. */
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { WorkbenchError } from './errors.ts';
import { buildApp } from './http/app.ts';
import { Jobs } from './http/jobs.ts';
import type { App } from './http/types.ts';
import { openBrowser } from './openBrowser.ts';
import { parseServerOptions, type ServerOptions, USAGE, UsageError } from './options.ts';
import { addDemoTakes } from './store/demoTakes.ts';
import { WorkerIngest } from './store/workerIngest.ts';
import { Workspace } from './store/workspace.ts';

/** The built server lies in .build/server of the project. */
const PROJECT = fileURLToPath(new URL('../..', import.meta.url));
const HOST = '127.0.0.1';
/** How often is looked whether a recording has ended that is to become a take. */
const TEND_MS = 500;

await main().catch((error: unknown) => {
  console.error(sentenceOf(error));
  process.exitCode = 1;
});

async function main(): Promise<void> {
  const options = parseServerOptions(process.argv.slice(2));
  if (options.help) return console.log(USAGE);
  const workspace = await Workspace.open(resolve(options.workspace ?? join(PROJECT, '.workspace')), {
    ingest: new WorkerIngest(new URL('./ingestWorker.js', import.meta.url)),
  });
  const jobs = new Jobs(logError);
  const tending = setInterval(() => workspace.recordings.tend().catch(logError), TEND_MS);
  let demoJobId: string | null = null;
  const webRoot = join(PROJECT, '.build', 'web');
  const addDemo = (again: boolean): string => {
    const id = jobs.start((hooks) =>
      addDemoTakes(workspace, join(PROJECT, 'fixtures'), hooks, again).finally(() => {
        demoJobId = null;
      }),
    );
    demoJobId = id;
    return id;
  };
  const demo = { id: () => demoJobId, start: () => addDemo(true) };
  const app = await buildApp({ workspace, jobs, demo }, { webRoot, logError });
  const stop = async (): Promise<void> => {
    clearInterval(tending);
    await app.close();
    await jobs.close();
    await workspace.close();
  };
  try {
    await app.listen({ port: options.port, host: HOST });
  } catch (error) {
    await stop();
    throw error;
  }
  stopOnSignals(stop);
  tell(portOf(app), workspace.path, options);
  if (options.demo) addDemo(false);
}

function portOf(app: App): number {
  const address = app.server.address();
  if (address === null || typeof address === 'string') throw new Error(`listening at ${address}`);
  return address.port;
}

function tell(port: number, path: string, options: ServerOptions): void {
  const address = `http://${HOST}:${port}`;
  console.log(`Moulinet is at ${address}\nThe workspace is ${path}\nStop it with Ctrl+C.`);
  if (options.open) openBrowser(address);
}

/** The first signal lets writes end; a second one does not wait. */
function stopOnSignals(stop: () => Promise<void>): void {
  let stopping = false;
  const onSignal = async (): Promise<void> => {
    if (stopping) process.exit(1);
    stopping = true;
    await stop().catch(logError);
    process.exit();
  };
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, onSignal);
}

function logError(error: unknown): void {
  console.error(error);
}

/** One sentence for what the user can mend, all there is for a bug. */
function sentenceOf(error: unknown): unknown {
  if (error instanceof WorkbenchError) return error.message;
  if (error instanceof UsageError) return `${error.message}\n\n${USAGE}`;
  const { code, port } = error as { code?: unknown; port?: number };
  if (code === 'EADDRINUSE') {
    return `Port ${port} is in use. Stop the program that uses it, or choose another: npm start -- --port ${port === 65_535 ? 0 : Number(port) + 1}`;
  }
  if (code === 'EACCES') return `Port ${port} may not be used. Choose another: npm start -- --port 0`;
  return error;
}
