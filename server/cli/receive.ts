import { basename } from 'node:path';
import { importArchive, planImport, type TakePlan } from '../store/archive/importArchive.ts';
import { openArchive } from '../store/archive/readArchive.ts';
import { tellFailure } from './failure.ts';
import { parseStrictly } from './inspectArgs.ts';
import { EXIT_FINE, type Io, UsageError } from './io.ts';
import { openFile } from './openFile.ts';
import { withWorkspace } from './openWorkspace.ts';

const HELP = `Usage: receive FILE.zip --workspace FOLDER [options]

Says what a zip of takes would bring into a workspace, and with --apply brings it in. Nothing that is there is changed: a
take that is there with other labels or settings stays, and the one of the zip comes in beside it.

  --workspace FOLDER   the workspace; made where it is not there; no server may have it open
  --apply              brings it in
  --help               this text

Exit code: 0 fine, 1 the zip cannot be used, 2 the command makes no sense or a file cannot be opened.
`;

const OPTIONS = {
  workspace: { type: 'string' },
  apply: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
} as const;

const DOES: Readonly<Record<TakePlan['does'], string>> = {
  new: 'new',
  copy: 'comes in beside the one that is here, which has other contents',
  here: 'here already, the same',
};

/** Runs `receive`; returns the exit code. */
export async function run(argv: string[], io: Io): Promise<number> {
  try {
    const { values, positionals } = parseStrictly({ args: argv, allowPositionals: true, options: OPTIONS });
    if (values.help) {
      io.stdout.write(HELP);
      return EXIT_FINE;
    }
    const [path] = positionals;
    if (path === undefined || positionals.length > 1) throw new UsageError('name one file to receive');
    if (values.workspace === undefined) throw new UsageError('--workspace is missing: name the folder');
    openFile(path);
    const archive = await openArchive(path, basename(path));
    try {
      await withWorkspace(values.workspace, async (workspace) => {
        const { takes, newMappings, settings } = planImport(workspace, archive);
        for (const { title, performer, does } of takes)
          io.stdout.write(`${title}${performer === '' ? '' : ` (${performer})`}: ${DOES[does]}\n`);
        for (const { name, does } of settings) io.stdout.write(`Setting ${name}: ${DOES[does]}\n`);
        if (newMappings > 0) io.stdout.write(`Corrected columns of ${newMappings} more shapes of log\n`);
        if (!values.apply) io.stdout.write('Nothing was changed: --apply brings it in.\n');
        else {
          const added = await importArchive(workspace, archive, basename(path));
          io.stdout.write(`${added.length} of ${takes.length} takes came in.\n`);
        }
      });
    } finally {
      archive.close();
    }
    return EXIT_FINE;
  } catch (error) {
    return tellFailure(error, 'receive', argv, io);
  }
}
