import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Io } from '../../server/cli/io.ts';

type Program = (argv: string[], io: Io) => Promise<number>;

/** Runs a program and gathers what it writes. */
export async function runCli(program: Program, ...argv: string[]) {
  let [out, err] = ['', ''];
  const code = await program(argv, {
    stdout: { write: (text: string) => (out += text) },
    stderr: { write: (text: string) => (err += text) },
  });
  return { code, out, err, json: () => JSON.parse(out) };
}

/** A folder of its own for a test file's logs. */
export function makeFolder(): {
  path: (name: string) => string;
  write: (name: string, text: string) => string;
  remove: () => void;
} {
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-cli-'));
  const path = (name: string) => join(folder, name);
  return {
    path,
    write: (name, text) => {
      writeFileSync(path(name), text);
      return path(name);
    },
    remove: () => rmSync(folder, { recursive: true }),
  };
}
