import { spawnSync } from 'node:child_process';
import { closeSync, constants, openSync } from 'node:fs';
import { isatty, ReadStream } from 'node:tty';
import { systemCode } from '../../store/errors.ts';
import { FileError, UsageError } from '../io.ts';
import { pause, type Sink, type Source } from './source.ts';

/** How long after a cable was pulled it is looked for again. */
const RETRY_MS = 100;
/** Not waiting for a modem's carrier, and not becoming the terminal that Ctrl+C comes from. */
const FLAGS = constants.O_RDWR | constants.O_NOCTTY | constants.O_NONBLOCK;
const GONE: readonly string[] = ['ENOENT', 'ENXIO', 'ENODEV', 'EIO', 'EBUSY', 'EACCES', 'EPERM', 'ENOTTY'];

/**
 * A serial device by its path. A device that is pulled out is waited for: it comes back as the same recording. Set up with
 * the system's own `stty`, so that no native code has to be installed.
 * @throws UsageError  on Windows, which has no `stty`
 */
export function serialDevice(path: string, baud: number): Source {
  if (process.platform === 'win32')
    throw new UsageError(
      'serial devices can be recorded here on Linux and macOS only: on Windows use Record from a port under Live in the page, with a browser that has Web Serial, or pass on what another program reads, as in: READER | npm run -s record -- -',
    );
  // What is wrong at once is said at once; later it may be a cable.
  closeSync(open(path, baud));
  return { name: path, joins: true, listen: (sink, signal) => listenTo(path, baud, sink, signal) };
}

async function listenTo(path: string, baud: number, sink: Sink, signal: AbortSignal): Promise<'stopped'> {
  let device: number | null = open(path, baud);
  while (!signal.aborted) {
    if (device === null) {
      await pause(RETRY_MS, signal);
      device = reopen(path, baud);
      if (device !== null) sink.back();
      continue;
    }
    const why = await readUntilGone(device, sink, signal);
    device = null;
    if (!signal.aborted) sink.lost(`${path} ${why}`);
  }
  if (device !== null) closeSync(device);
  return 'stopped';
}

/** Hands on what comes, until the device is gone or it is told to stop; says how it went. The device is closed then. */
function readUntilGone(device: number, sink: Sink, signal: AbortSignal): Promise<string> {
  return new Promise((resolve, reject) => {
    const stream = new ReadStream(device);
    let why = 'ended';
    const stop = (): void => void stream.destroy();
    signal.addEventListener('abort', stop);
    stream.on('data', (chunk) => {
      try {
        sink.bytes(chunk);
      } catch (error) {
        reject(error);
        stop();
      }
    });
    stream.on('end', stop);
    stream.on('error', (error) => {
      why = `is gone (${systemCode(error) ?? error.message})`;
    });
    stream.on('close', () => {
      signal.removeEventListener('abort', stop);
      resolve(why);
    });
  });
}

function reopen(path: string, baud: number): number | null {
  try {
    return open(path, baud);
  } catch {
    // Half there: its name before its driver, or its driver before its permissions.
    return null;
  }
}

/** @throws FileError  where it cannot be opened, or is no serial device */
function open(path: string, baud: number): number {
  let device: number;
  try {
    device = openSync(path, FLAGS);
  } catch (error) {
    const code = systemCode(error);
    if (code === null || !GONE.includes(code)) throw error;
    throw new FileError(path, `${path} cannot be opened (${code}). ${ADVICE[code] ?? 'Is it plugged in?'}`);
  }
  try {
    setUp(device, path, baud);
  } catch (error) {
    closeSync(device);
    throw error;
  }
  return device;
}

const ADVICE: Readonly<Record<string, string>> = {
  EACCES: 'You have no right to: on Linux, members of the group that owns it have (often dialout).',
  EBUSY: 'Another program has it open: close that one.',
};

/** Raw bytes, no echo, no modem lines; the path is for messages. */
function setUp(device: number, path: string, baud: number): void {
  if (!isatty(device)) throw new FileError(path, `${path} is no serial device`);
  const modes = [String(baud), 'raw', '-echo', 'clocal', 'cread', '-hupcl', 'min', '1', 'time', '0'];
  const { status, stderr, error } = spawnSync('stty', modes, { stdio: [device, 'ignore', 'pipe'] });
  if (error)
    throw new FileError(
      path,
      `the program stty, which sets up serial devices, cannot be run (${error.message})`,
    );
  if (status !== 0)
    throw new FileError(
      path,
      `${path} cannot be set to ${baud} baud (${String(stderr).trim()}). State another with --baud.`,
    );
}
