import { parseArgs } from 'node:util';
import { messageOf } from './store/errors.ts';

export interface ServerOptions {
  /** 0 takes any free port. */
  readonly port: number;
  /** null: the default folder. */
  readonly workspace: string | null;
  readonly open: boolean;
  /** Whether the demo takes are added at the first start. */
  readonly demo: boolean;
  readonly help: boolean;
}

const DEFAULT_PORT = 4620;

export const USAGE = `Usage: npm start -- [options]

  --port N         listen on this port (default ${DEFAULT_PORT}; 0 takes any free one)
  --workspace DIR  keep takes and settings in this folder (default .workspace in the project)
  --no-demo        do not add the demo takes
  --open           open the page in the browser
  --help           show this`;

/** The server was started in a way that makes no sense. */
export class UsageError extends Error {}

const OPTIONS = {
  port: { type: 'string' },
  workspace: { type: 'string' },
  'no-demo': { type: 'boolean', default: false },
  open: { type: 'boolean', default: false },
  help: { type: 'boolean', default: false },
} as const;

/** @throws UsageError  with a sentence for the user, if the arguments are none of these. */
export function parseServerOptions(args: readonly string[]): ServerOptions {
  const { workspace = null, 'no-demo': noDemo, open, help, port } = parse(args);
  if (workspace === '') throw new UsageError('--workspace needs the name of a folder.');
  return { port: parsePort(port), workspace, demo: !noDemo, open, help };
}

function parse(args: readonly string[]) {
  try {
    return parseArgs({ args: [...args], options: OPTIONS }).values;
  } catch (error) {
    throw new UsageError(messageOf(error));
  }
}

function parsePort(text: string | undefined): number {
  if (text === undefined) return DEFAULT_PORT;
  const port = Number(text);
  if (!/^[0-9]+$/.test(text) || !(port <= 65_535)) {
    throw new UsageError(`--port must be a whole number from 0 to 65535, not ${text}.`);
  }
  return port;
}
