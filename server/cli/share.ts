import { archiveOf } from '../store/archive/writeArchive.ts';
import { sourcesOf } from '../store/takeFolder.ts';
import { tellFailure } from './failure.ts';
import { parseStrictly } from './inspectArgs.ts';
import { EXIT_FINE, type Io, UsageError } from './io.ts';
import { withWorkspace } from './openWorkspace.ts';
import { writeOutput } from './outputFile.ts';
import { refuseOutput } from './refuseOutput.ts';

const HELP = `Usage: share --workspace FOLDER --out FILE.zip [options]

Puts takes of a workspace into one zip: recordings byte for byte, columns as they were corrected, labels, calibration, and
both candidates.

  --workspace FOLDER   the workspace; no server may have it open
  --take ID            this take alone; may be repeated (all without it)
  --out FILE.zip       where to write
  --help               this text

Exit code: 0 fine, 1 a take cannot be read, 2 the command makes no sense or a file cannot be opened or written.
`;

const OPTIONS = {
  workspace: { type: 'string' },
  take: { type: 'string', multiple: true },
  out: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
} as const;

/** Runs `share`; returns the exit code. */
export async function run(argv: string[], io: Io): Promise<number> {
  try {
    const { values } = parseStrictly({ args: argv, allowPositionals: false, options: OPTIONS });
    if (values.help) {
      io.stdout.write(HELP);
      return EXIT_FINE;
    }
    const { workspace: folder, out, take: ids = null } = values;
    if (folder === undefined) throw new UsageError('--workspace is missing: name the folder');
    if (out === undefined) throw new UsageError('--out is missing: name the file to write');
    await withWorkspace(folder, async (workspace) => {
      const files = workspace.takes
        .list()
        .map(({ id }) => workspace.takes.get(id))
        .flatMap((document) => sourcesOf(workspace.takes.folderOf(document.id), document));
      const place = { option: '--out', path: out, inputs: files.map(({ path }) => path) };
      await refuseOutput(place);
      const count = ids === null ? workspace.takes.list().length : new Set(ids).size;
      await writeOutput(
        place,
        await archiveOf(workspace, ids && [...new Set(ids)], new Date().toISOString()),
      );
      io.stdout.write(`${out}: ${count} ${count === 1 ? 'take' : 'takes'}\n`);
    });
    return EXIT_FINE;
  } catch (error) {
    return tellFailure(error, 'share', argv, io);
  }
}
