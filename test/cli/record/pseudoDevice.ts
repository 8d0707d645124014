import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { findCompiler } from '../../../scripts/findCompiler.mjs';

const CC = findCompiler();

/** Whether pseudo-terminals can be had here: their helper has to be compiled. */
export const HAS_PSEUDO_DEVICES = CC !== null && process.platform !== 'win32';

export interface PseudoDevice {
  readonly path: string;
  /** Sends bytes as fast as they are read. */
  send(bytes: string | Uint8Array): Promise<void>;
  /** Pulls the cable; what was sent and not yet read may be gone. */
  pull(): Promise<void>;
}

/** Compiles the helper into a folder; each call of what it returns plugs a device in under a path. */
export function pseudoDevices(folder: string): (path: string) => Promise<PseudoDevice> {
  const program = join(folder, 'pty');
  const source = fileURLToPath(new URL('pty.c', import.meta.url));
  execFileSync(CC!, ['-std=c99', '-Wall', '-Wextra', '-Werror', '-O1', '-o', program, source]);
  return (path) => plugIn(program, path);
}

async function plugIn(program: string, path: string): Promise<PseudoDevice> {
  const child: ChildProcess = spawn(program, [path], { stdio: ['pipe', 'pipe', 'inherit'] });
  const gone = once(child, 'exit');
  await once(child.stdout!, 'data');
  return {
    path,
    send: (bytes) =>
      new Promise((resolve, reject) =>
        child.stdin!.write(bytes, (error) => (error ? reject(error) : resolve())),
      ),
    pull: async () => {
      child.stdin!.end();
      const [code] = await gone;
      if (code !== 0 || existsSync(path)) throw new Error(`the pseudo-device ended with ${code}`);
    },
  };
}
