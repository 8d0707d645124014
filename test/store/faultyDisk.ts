import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';

/** Calls that change the disk, by their names in `node:fs`; those of `node:fs/promises` are called the same. */
const CALLS = ['mkdir', 'open', 'rename', 'link', 'rm', 'copyFile', 'writeFile', 'truncate'] as const;
type Call = (typeof CALLS)[number];

/** `ENOSPC` and the like where the disk refuses a call, null where it does what is asked. */
export type Refuses = (call: Call, path: string, flags: unknown) => string | null;

/** Lets the disk refuse what it is told to while something is done: as a full one, or one that has become read-only. */
export async function onFaultyDisk<Result>(
  refuses: Refuses,
  act: () => Promise<Result> | Result,
): Promise<Result> {
  const undo = CALLS.map((call) => replace(fs.promises, call, call, refuses));
  undo.push(replace(fs, 'openSync', 'open', refuses), replace(fs, 'mkdirSync', 'mkdir', refuses));
  syncBuiltinESMExports();
  try {
    return await act();
  } finally {
    for (const back of undo) back();
    syncBuiltinESMExports();
  }
}

function replace(on: object, name: string, call: Call, refuses: Refuses): () => void {
  const functions = on as Record<string, (...args: unknown[]) => unknown>;
  const real = functions[name]!;
  functions[name] = (...args) => {
    const code = refuses(call, String(args[0]), args[1]);
    if (code === null) return real.apply(on, args);
    const error = Object.assign(new Error(`${code}: refused, ${call} '${args[0]}'`), {
      code,
      syscall: call,
      path: String(args[0]),
    });
    if (name.endsWith('Sync')) throw error;
    return Promise.reject(error);
  };
  return () => {
    functions[name] = real;
  };
}

/** A disk without room for a further file: what is there can be read. */
export const noInodes: Refuses = (call, _path, flags) =>
  call === 'mkdir' ||
  call === 'link' ||
  call === 'copyFile' ||
  (call === 'open' && /[wa]/.test(String(flags)))
    ? 'ENOSPC'
    : null;

/** A disk that became read-only, as Linux makes one on which it met errors. */
export const readOnly: Refuses = (call, _path, flags) =>
  call !== 'open' || (flags !== undefined && flags !== 'r') ? 'EROFS' : null;
