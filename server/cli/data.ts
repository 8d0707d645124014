import { join } from 'node:path';
import { buildTimeBase } from '../engine/base/timeBase.ts';
import { computeMotion } from '../engine/motion/motion.ts';
import { computeSignals } from '../engine/motion/signals.ts';
import { evaluate } from '../engine/score/evaluate.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../engine/settings/candidateRules.ts';
import { NO_DEFLECTION_BUTTON } from '../engine/words/deflectionButton.ts';
import type { FileParts } from '../store/atomicFile.ts';
import { readCandidate } from './candidateInput.ts';
import { channelColumns } from './channelsFile.ts';
import { channelsCsv, channelsParquet, eventRows, eventsCsv, eventsParquet } from './dataFiles.ts';
import { tellFailure } from './failure.ts';
import { type FolderTake, type FolderTakeRead, folderTakes, NOTHING_STATED } from './folderTakes.ts';
import { parseStrictly } from './inspectArgs.ts';
import { EXIT_DATA, EXIT_FINE, type Io, UsageError } from './io.ts';
import { isOfTake } from './ofTake.ts';
import { makeFolder, writeOutput } from './outputFile.ts';
import { refuseOutput } from './refuseOutput.ts';

const HELP = `Usage: data --takes FOLDER --out FOLDER [options]

Writes the channels and the events of all takes as tables, parted by performer and take, for other programs to read:
OUT/channels/performer=P/take=T/channels.parquet and OUT/events/performer=P/take=T/events.parquet.

  --takes FOLDER       a workspace, or a folder of logs with labels beside each
  --out FOLDER         where to write; files of the same names in it are written anew
  --as parquet|csv     (parquet)
  --setting FILE       the setting, as the page exports it (the workbench's defaults without it)
  --help               this text

Exit code: 0 fine, 1 a take cannot be read (the others are written all the same), 2 the command makes no sense or a file
cannot be opened or written.
`;

const OPTIONS = {
  takes: { type: 'string' },
  out: { type: 'string' },
  as: { type: 'string' },
  setting: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
} as const;

type Kind = 'parquet' | 'csv';

/** Runs `data`; returns the exit code. */
export async function run(argv: string[], io: Io): Promise<number> {
  try {
    const { values } = parseStrictly({ args: argv, allowPositionals: false, options: OPTIONS });
    if (values.help) {
      io.stdout.write(HELP);
      return EXIT_FINE;
    }
    const { takes, out, as = 'parquet' } = values;
    if (takes === undefined) throw new UsageError('--takes is missing: name the folder of takes');
    if (out === undefined) throw new UsageError('--out is missing: name the folder to write to');
    if (as !== 'parquet' && as !== 'csv') throw new UsageError(`--as must be parquet or csv, got "${as}"`);
    const candidate = values.setting === undefined ? DEFAULT_CANDIDATE : readCandidate(values.setting);
    let failed = 0;
    const all = folderTakes(takes, NOTHING_STATED);
    const settings = values.setting === undefined ? [] : [values.setting];
    const inputs = [...settings, ...all.flatMap((take) => take.files())];
    for (const take of all) failed += await writeTake(take, candidate, { out, inputs }, as, io);
    return failed === 0 ? EXIT_FINE : EXIT_DATA;
  } catch (error) {
    return tellFailure(error, 'data', argv, io);
  }
}

/** @returns 1 where it cannot be read, else 0 */
async function writeTake(
  take: FolderTake,
  candidate: Candidate,
  { out, inputs }: { readonly out: string; readonly inputs: readonly string[] },
  as: Kind,
  io: Io,
): Promise<0 | 1> {
  let read: FolderTakeRead;
  try {
    read = await take.read();
  } catch (error) {
    if (!isOfTake(error)) throw error;
    io.stderr.write(`${take.name}: ${error.message}\n`);
    return 1;
  }
  const { uniform } = buildTimeBase(read.take.log, read.take.saturated);
  const motion = computeMotion(uniform, read.calibration);
  const signals = computeSignals(motion, candidate, read.take.presses, read.deflectionPresses);
  const evaluation = evaluate(signals, read.presses, read.labels, candidate, motion);
  if (evaluation.deflections === null)
    io.stderr.write(`${take.name}: no deflection is told of: ${NO_DEFLECTION_BUTTON}\n`);
  const columns = channelColumns(motion, signals, evaluation.closed, read.calibration.bladeLengthM);
  const rows = eventRows(evaluation, read.labels);
  const { timeUs } = signals;
  const parts = [`performer=${partName(read.performer)}`, `take=${partName(take.name)}`];
  const write = async (kind: string, text: FileParts) => {
    const folder = join(out, kind, ...parts);
    const place = { option: '--out', path: join(folder, `${kind}.${as}`), inputs };
    await refuseOutput(place);
    await makeFolder(folder);
    await writeOutput(place, text);
  };
  await write('channels', as === 'csv' ? channelsCsv(timeUs, columns) : [channelsParquet(timeUs, columns)]);
  await write('events', as === 'csv' ? eventsCsv(rows) : [eventsParquet(rows)]);
  io.stdout.write(`${take.name}: ${timeUs.length} samples, ${rows.length} events\n`);
  return 0;
}

/** A partition's value as readers of such folders take it back: everything but plain letters, digits and a few signs as %XX. */
function partName(text: string): string {
  if (text === '') return '__HIVE_DEFAULT_PARTITION__';
  return encodeURIComponent(text).replace(
    /[!'()*~]/g,
    (c) => `%${c.charCodeAt(0).toString(16).toUpperCase()}`,
  );
}
