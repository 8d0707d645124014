import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { WorkspaceBody } from '../../server/http/schemas.ts';

const PROJECT = fileURLToPath(new URL('../..', import.meta.url));
const MAIN = join(PROJECT, '.build', 'server', 'main.js');

export interface BuiltServer {
  /** Without a slash at its end. */
  readonly address: string;
  readonly child: ChildProcess;
  /** All that it wrote so far. */
  readonly output: () => string;
  /** Asks it to stop and waits for the exit code; null where a signal ended it. */
  readonly stop: (signal?: NodeJS.Signals) => Promise<number | null>;
}

/** Builds what is stale; does nothing where all is fresh. */
export async function ensureBuilt(): Promise<void> {
  await promisify(execFile)(process.execPath, [join(PROJECT, 'scripts', 'build.mjs'), '--if-stale']);
}

/** Starts the built server on a free port and waits until it says where it is. */
export async function launchServer(workspace: string, ...more: string[]): Promise<BuiltServer> {
  const { child, output } = startServer(['--port', '0', '--workspace', workspace, ...more]);
  const ended = once(child, 'exit').then(([code]) => code as number | null);
  let address: string | undefined;
  while (address === undefined) {
    const news = await Promise.race([once(child.stdout!, 'data'), ended.then(() => null)]);
    address = /http:\/\/\S+/.exec(output())?.[0];
    if (news === null && address === undefined) throw new Error(`the server did not start: ${output()}`);
  }
  const stop = async (signal: NodeJS.Signals = 'SIGTERM'): Promise<number | null> => {
    child.kill(signal);
    return ended;
  };
  return { address, child, output, stop };
}

/** Starts the built server with these arguments. */
export function startServer(args: readonly string[]): Pick<BuiltServer, 'child' | 'output'> {
  const child = spawn(process.execPath, [MAIN, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  let text = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (chunk) => {
      text += chunk;
    });
  }
  return { child, output: () => text };
}

/** Makes a new workspace in which the demonstration takes count as added, so that it starts empty. */
export function makeEmptyWorkspace(path: string): void {
  const logs = readdirSync(join(PROJECT, 'fixtures')).filter((name) => name.endsWith('.csv'));
  const document = { format: 1, name: 'test', demoAdded: logs.map((name) => name.slice(0, -'.csv'.length)) };
  mkdirSync(path, { recursive: true });
  writeFileSync(join(path, 'workspace.json'), JSON.stringify(document));
}

/** The workspace once the demonstration takes are in. */
export async function workspaceWithDemo(address: string): Promise<WorkspaceBody> {
  for (;;) {
    const body: WorkspaceBody = await (await fetch(`${address}/api/workspace`)).json();
    if (body.demoJobId === null) return body;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
