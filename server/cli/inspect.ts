import type { Mount } from '../engine/base/mount.ts';
import type { SignalCheck } from '../engine/check/checkSignals.ts';
import { wordedCheck } from '../engine/words/check/check.ts';
import { WorkbenchError } from '../errors.ts';
import type { Preview } from '../ingest/ground/types.ts';
import { readMount } from './evaluateArgs.ts';
import { errorDocument, tellFailure } from './failure.ts';
import { parseStrictly, READ_HELP, READ_OPTIONS, type ReadOptions, readOptions } from './inspectArgs.ts';
import { checkDocument, checkTake, describeCheck } from './inspectCheck.ts';
import { describePreview } from './inspectText.ts';
import { EXIT_DATA, EXIT_FINE, type Io, UsageError } from './io.ts';
import { openFile } from './openFile.ts';
import { rolesCommand } from './rolesCommand.ts';
import { groupFiles, previewFiles, readPreviewed, type TakeFiles } from './takeFiles.ts';

const HELP = `Usage: inspect FILE... [options]

Says what motion logs hold: columns and why they are taken for what they are, rate, gaps, bad rows, saturation, peaks.
Several files are one take where each lacks acceleration or angular rate and together they hold both; in every other
case each file is a take of its own.

${READ_HELP}  --check              says too whether the take is fit to tune on, line by line, and what to do
  --mount tip=+x,side=+y   with --check: which sensor axes point to the tip and to the side; tested against the swings
  --json               one JSON document (a list of them for several takes)
  --help               this text

Exit code: 0 fine, 1 a log holds no motion, something must be stated first, or --check finds it not fit, 2 the command
makes no sense or a file cannot be opened. With --json an error is a JSON document too: {"error": {"code", "message", ...}}.
`;

/** Runs `inspect`; returns the exit code. */
export async function run(argv: string[], io: Io): Promise<number> {
  try {
    const { values, positionals } = parseStrictly({
      args: argv,
      allowPositionals: true,
      options: {
        ...READ_OPTIONS,
        check: { type: 'boolean' },
        mount: { type: 'string' },
        json: { type: 'boolean' },
        help: { type: 'boolean', short: 'h' },
      },
    });
    if (values.help) {
      io.stdout.write(HELP);
      return EXIT_FINE;
    }
    if (positionals.length === 0) throw new UsageError('no file was given');
    const options = readOptions(values);
    if (values.mount !== undefined && !values.check)
      throw new UsageError('--mount says something only with --check');
    const checking = values.check
      ? { mount: values.mount === undefined ? null : readMount(values.mount) }
      : null;
    const takes = await groupFiles(positionals.map(openFile), options);
    const outcomes: Outcome[] = [];
    for (const files of takes) outcomes.push(await inspectTake(files, options, checking));
    if (values.json) writeJson(outcomes, io);
    else writeText(outcomes, await adviceOn(outcomes, argv), io);
    const isFine = ({ preview, check }: Outcome) => preview?.report && check?.verdict !== 'unfit';
    return outcomes.every(isFine) ? EXIT_FINE : EXIT_DATA;
  } catch (error) {
    return tellFailure(error, 'inspect', argv, io);
  }
}

interface Outcome {
  readonly files: TakeFiles;
  readonly names: readonly string[];
  readonly preview: Preview | null;
  readonly check: SignalCheck | null;
  readonly error: WorkbenchError | null;
}

async function inspectTake(
  files: TakeFiles,
  options: ReadOptions,
  checking: { readonly mount: Mount | null } | null,
): Promise<Outcome> {
  const { sources } = files;
  const names = sources.map(({ name }) => name);
  try {
    const previewed = await previewFiles(files, options);
    const { preview } = previewed;
    const check =
      checking && preview.report
        ? checkTake(await readPreviewed(files, previewed), preview.mapping, checking.mount)
        : null;
    return { files, names, preview, check, error: null };
  } catch (error) {
    if (!(error instanceof WorkbenchError)) throw error;
    return { files, names, preview: null, check: null, error };
  }
}

/** The command that states what the files do not tell, where nothing else is missing; null elsewhere. */
async function adviceOn(outcomes: readonly Outcome[], argv: readonly string[]): Promise<string | null> {
  const read = outcomes.flatMap(({ files, preview }) =>
    preview && preview.needs.length > 0 ? [{ sources: files.sources, mapping: preview.mapping }] : [],
  );
  if (read.length === 0 || read.length < outcomes.length) return null;
  const command = await rolesCommand('inspect', argv, read);
  if (command === null) return null;
  const when =
    outcomes.length === 1
      ? 'say which columns hold what'
      : 'if these files are one take, say which columns hold what';
  return `${when}, for example:\n  ${command}\n`;
}

function writeText(outcomes: readonly Outcome[], advice: string | null, io: Io): void {
  for (const { names, preview, check, error } of outcomes) {
    if (preview) io.stdout.write(describePreview(names, preview));
    if (check) io.stdout.write(describeCheck(wordedCheck(check)));
    if (error) io.stderr.write(`${error.message}\n`);
  }
  if (advice !== null) io.stdout.write(advice);
}

function writeJson(outcomes: readonly Outcome[], io: Io): void {
  const documents = outcomes.map(toDocument);
  io.stdout.write(`${JSON.stringify(documents.length === 1 ? documents[0] : documents, null, 2)}\n`);
}

function toDocument({ names, preview, check, error }: Outcome): unknown {
  if (error) return { files: names, error: errorDocument(error) };
  const { mapping, report, needs, ledger } = preview!;
  const dialects = mapping.files.map(({ name, ...dialect }) => ({ name, ...dialect }));
  const checked = check ? { check: checkDocument(check) } : {};
  return { files: names, ...(report ?? { columns: mapping.columns }), needs, dialects, ledger, ...checked };
}
