import { WorkbenchError } from '../errors.ts';
import { fromSystemError } from '../store/errors.ts';
import { DataError, EXIT_DATA, EXIT_MISUSE, type Io, UsageError } from './io.ts';

/** A failure as JSON has it, in every program the same. */
interface ErrorDocument {
  readonly code: string;
  readonly message: string;
  readonly file: string | null;
  /** In a log, from 1. */
  readonly line: number | null;
  readonly column: number | null;
  /** In a candidate's JSON. */
  readonly path: string | null;
}

/**
 * Tells of what made a program stop and returns its exit code: with `--json` as `{"error": ...}` on the standard output,
 * so that one JSON document stands there whatever happens; otherwise in words on the other one.
 * @throws what is no failure of the user's making
 */
export function tellFailure(thrown: unknown, program: string, argv: readonly string[], io: Io): number {
  const error = fromSystemError(thrown);
  const isMisuse = error instanceof UsageError;
  if (!(isMisuse || error instanceof DataError || error instanceof WorkbenchError)) throw error;
  if (wantsJson(argv)) io.stdout.write(`${JSON.stringify({ error: errorDocument(error) }, null, 2)}\n`);
  else io.stderr.write(`${error.message}\n${isMisuse ? `Try: ${program} --help\n` : ''}`);
  return isMisuse ? EXIT_MISUSE : EXIT_DATA;
}

export function errorDocument(error: UsageError | DataError | WorkbenchError): ErrorDocument {
  const at = error as Partial<ErrorDocument>;
  const { file = null, line = null, column = null, path = null } = at;
  return { code: error.code, message: error.message, file, line, column, path };
}

/** Read by hand: the options may be what is wrong. */
function wantsJson(argv: readonly string[]): boolean {
  const end = argv.indexOf('--');
  return (end < 0 ? argv : argv.slice(0, end)).includes('--json');
}
