import { join, resolve } from 'node:path';
import { WorkspaceError } from '../../store/errors.ts';
import { inlineIngest } from '../../store/ingestTasks.ts';
import type { Kept } from '../../store/recordings/keepRecording.ts';
import type { Recorder } from '../../store/recordings/recorder.ts';
import { LOG_NAME, RECORDINGS_FOLDER, readRecording } from '../../store/recordings/recordingFiles.ts';
import { Workspace } from '../../store/workspace.ts';
import { prepareFolder } from '../../store/workspaceFolder.ts';
import { tellFailure } from '../failure.ts';
import { parseStrictly } from '../inspectArgs.ts';
import { EXIT_DATA, EXIT_FINE, type Io, UsageError } from '../io.ts';
import { PROJECT } from '../projectFolder.ts';
import { chooseSource } from './chooseSource.ts';
import { record, type Teller } from './session.ts';
import { pause } from './source.ts';

const HELP = `Usage: record DEVICE|FILE|- [options]

Records a log as it comes: from a serial device, a file that another program writes, or standard input (-). What came is
on the disk at once; a cable that is pulled is waited for, and the recording goes on behind a gap. Ctrl+C ends it and adds
it to the workspace as a take. If a server has the workspace open, its page shows it under Live as it comes.

  --baud N             speed of a serial device (115200)
  --workspace FOLDER   the workspace (default .workspace in the project, as for npm start)
  --title TEXT         what the take is called (the date and time)
  --performer TEXT     who swings
  --drill TEXT         what is swung
  --help               this text

Exit code: 0 it is a take, 1 something of the log has to be asked first (it stays as a recording) or nothing came,
2 the command makes no sense or the source cannot be opened.
`;

const OPTIONS = {
  baud: { type: 'string', default: '115200' },
  workspace: { type: 'string' },
  title: { type: 'string' },
  performer: { type: 'string', default: '' },
  drill: { type: 'string', default: '' },
  help: { type: 'boolean', short: 'h' },
} as const;

/** How long a server is given to make a take of what was recorded, before this program leaves it to it. */
const SERVER_MS = 20_000;
const LOOK_MS = 200;
const LONGEST_TEXT = 200;

/** Runs `record` until the source ends or a signal comes; returns the exit code. */
export async function run(argv: string[], io: Io): Promise<number> {
  const stop = new AbortController();
  const onSignal = (): void => stop.abort();
  for (const name of SIGNALS) process.on(name, onSignal);
  try {
    return await runUntil(argv, io, stop.signal);
  } catch (error) {
    return tellFailure(error, 'record', argv, io);
  } finally {
    for (const name of SIGNALS) process.off(name, onSignal);
  }
}

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

async function runUntil(argv: string[], io: Io, signal: AbortSignal): Promise<number> {
  const { values, positionals } = parseStrictly({ args: argv, allowPositionals: true, options: OPTIONS });
  if (values.help) {
    io.stdout.write(HELP);
    return EXIT_FINE;
  }
  const [argument] = positionals;
  if (argument === undefined || positionals.length > 1)
    throw new UsageError('name one device, one file, or - for standard input');
  const workspace = resolve(values.workspace ?? join(PROJECT, '.workspace'));
  const { performer, drill } = values;
  const title = values.title ?? `Recording of ${localTime(new Date())}`;
  for (const text of [title, performer, drill])
    if (text.length > LONGEST_TEXT)
      throw new UsageError(`"${text.slice(0, 40)}…" is longer than ${LONGEST_TEXT}`);
  const source = chooseSource(argument, baudOf(values.baud));
  await prepareFolder(workspace);
  const root = join(workspace, RECORDINGS_FOLDER);
  const recorder = await record(source, root, { title, performer, drill }, tellerTo(io), signal);
  return await makeTake(workspace, recorder, io);
}

function baudOf(text: string): number {
  const baud = Number(text);
  if (!Number.isInteger(baud) || !(baud > 0))
    throw new UsageError(`--baud must be a whole number, got "${text}"`);
  return baud;
}

function localTime(now: Date): string {
  const two = (value: number) => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}:${two(now.getMinutes())}`;
}

function tellerTo({ stderr }: Io): Teller {
  return {
    began: ({ folder }) => stderr.write(`Recording to ${folder}. End it with Ctrl+C.\n`),
    lost: (why) => stderr.write(`${why}: waiting for it to come back. Ctrl+C ends the recording.\n`),
    back: () => stderr.write('It is back; the recording goes on behind a gap.\n'),
  };
}

/** Here, or in the server that has the workspace open. */
async function makeTake(path: string, recorder: Recorder, io: Io): Promise<number> {
  let workspace: Workspace;
  try {
    workspace = await Workspace.open(path, { ingest: inlineIngest() });
  } catch (error) {
    if (!(error instanceof WorkspaceError)) throw error;
    return await leaveToServer(error, recorder, io);
  }
  try {
    const kept = await workspace.recordings.keep(recorder.id);
    return tellKept(kept, recorder, io);
  } finally {
    await workspace.close();
  }
}

function tellKept(kept: Kept, { folder }: Recorder, { stdout, stderr }: Io): number {
  switch (kept.kind) {
    case 'take':
      stdout.write(`Added as the take "${kept.title}" (${kept.takeId}).\n`);
      return EXIT_FINE;
    case 'asks':
      stderr.write(
        `It is kept as a recording, and no take yet. Open Live in the page (or drop ${join(folder, LOG_NAME)} on it), and answer there:\n${kept.questions.map((text) => `- ${text}\n`).join('')}`,
      );
      return EXIT_DATA;
    case 'empty':
      stderr.write('Nothing came, so nothing was added.\n');
      return EXIT_DATA;
  }
}

async function leaveToServer(error: WorkspaceError, recorder: Recorder, io: Io): Promise<number> {
  const { folder, sizeBytes } = recorder;
  const signal = AbortSignal.timeout(SERVER_MS);
  while (!signal.aborted) {
    const document = await readRecording(folder);
    if (document === null && sizeBytes === 0) return tellKept({ kind: 'empty' }, recorder, io);
    if (document === null) {
      io.stdout.write('Added as a take by the server that has the workspace open.\n');
      return EXIT_FINE;
    }
    if (document.questions.length > 0)
      return tellKept({ kind: 'asks', questions: document.questions }, recorder, io);
    await pause(LOOK_MS, signal);
  }
  io.stderr.write(`It is kept in ${folder}, and no take yet: ${error.message}\n`);
  return EXIT_DATA;
}
