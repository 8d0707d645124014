import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { WorkspaceBody } from '../../server/http/schemas.ts';
import { type Print, pair, timeMs } from './pair.ts';
import { serve } from './served.ts';

/** From the start of the process to the first answer, against a Node that does nothing. */
export async function benchStart(print: Print): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  const workspace = join(folder, 'workspace');
  try {
    await startAndAsk(workspace, true);
    const empty = (): unknown => promisify(execFile)(process.execPath, ['-e', '0']);
    const start = (): unknown => startAndAsk(workspace);
    await pair(print, 'start to first answer', start, 'node -e 0', empty, '≥ 0.25', timeMs);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function startAndAsk(workspace: string, untilDemoIsAdded = false): Promise<void> {
  const { address, stop } = await serve(workspace);
  for (let isAdding = true; isAdding; ) {
    const answer = await fetch(`${address}/api/workspace`);
    const body = (await answer.json()) as WorkspaceBody;
    isAdding = untilDemoIsAdded && body.demoJobId !== null;
    if (isAdding) await new Promise((resolve) => setTimeout(resolve, 100));
  }
  await stop('SIGKILL');
}
