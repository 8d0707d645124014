import { execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { WorkspaceBody } from '../../server/http/schemas.ts';
import { type Print, pair } from './pair.ts';

const MAIN = join(import.meta.dirname, 'main.js');

/** From the start of the process to the first answer, against a Node that does nothing. */
export async function benchStart(print: Print): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  const workspace = join(folder, 'workspace');
  try {
    await startAndAsk(workspace, true);
    const empty = (): unknown => promisify(execFile)(process.execPath, ['-e', '0']);
    await pair(print, 'start to first answer', () => startAndAsk(workspace), 'node -e 0', empty, '≥ 0.25');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function startAndAsk(workspace: string, untilDemoIsAdded = false): Promise<void> {
  const child = spawn(process.execPath, [MAIN, '--port', '0', '--workspace', workspace], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let text = '';
  let address: string | undefined;
  child.stdout.on('data', (chunk) => {
    text += chunk;
  });
  while (address === undefined) {
    await once(child.stdout, 'data');
    address = /http:\/\/\S+/.exec(text)?.[0];
  }
  for (let isAdding = true; isAdding; ) {
    const answer = await fetch(`${address}/api/workspace`);
    const body = (await answer.json()) as WorkspaceBody;
    isAdding = untilDemoIsAdded && body.demoJobId !== null;
    if (isAdding) await new Promise((resolve) => setTimeout(resolve, 100));
  }
  child.kill('SIGKILL');
  await once(child, 'exit');
}
