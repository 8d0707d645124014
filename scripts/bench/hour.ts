import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { MOTION_COLUMNS, type MotionColumns, type MotionLog } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { findStillStretches } from '../../server/engine/calibrate/stillness.ts';
import { checkSignals } from '../../server/engine/check/checkSignals.ts';
import { computeMotion } from '../../server/engine/motion/motion.ts';
import { computeTrueSpeed } from '../../server/engine/motion/trueSpeed.ts';
import { OrientationFilter } from '../../server/engine/orientation/gravityFilter.ts';
import { upperMedian } from '../../server/engine/statistics/sorted.ts';
import { findPeaks } from '../../server/engine/truth/prominence.ts';
import { SWING_MIN_PEAK_DPS } from '../../server/engine/truth/swings.ts';
import { previewAndRead } from '../../server/ingest/preview/preview.ts';
import { writeCsv } from '../simulate/csv.ts';
import { DIALECTS } from '../simulate/demo/dialects.ts';
import { longTake } from './manyWorkspace.ts';
import { type Print, processorMs } from './pair.ts';
import { pairWithPython } from './python.ts';

const RATE_HZ = 1000;
const STEP_US = 1e6 / RATE_HZ;
const SECONDS = 300;
const TIMES = 12;
const ROUNDS = 3;
const PROMINENCE_DPS = 60;
/** An hour at 1 kHz through the signal check, and of what it is made of gravity, rests and truth beside SciPy and NumPy. */
export async function benchHour(print: Print): Promise<void> {
  const minutes = await readFiveMinutes();
  await checkHour(print, minutes);
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  try {
    const path = join(folder, 'columns.f64');
    writeFileSync(path, Buffer.concat(MOTION_COLUMNS.map((name) => new Uint8Array(minutes[name].buffer))));
    await besidePython(print, minutes, path);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Simulated reversals and stops, read from their log, at even times. */
async function readFiveMinutes(): Promise<MotionLog> {
  const bytes = Buffer.from(writeCsv(longTake(1, SECONDS, RATE_HZ), DIALECTS.plain), 'utf8');
  const source = {
    name: 'hour.csv',
    sizeBytes: bytes.length,
    async *open() {
      yield bytes;
    },
  };
  const { log } = (await previewAndRead([source], {}, {})).take!;
  // Columns of their own length: what was read lies in longer arrays.
  const columns = Object.fromEntries(MOTION_COLUMNS.map((name) => [name, log[name].slice()]));
  return { ...(columns as unknown as MotionColumns), timeUs: log.timeUs.map((_, i) => i * STEP_US) };
}

async function checkHour(print: Print, minutes: MotionLog): Promise<void> {
  const rows = minutes.timeUs.length * TIMES;
  const repeat = (column: Float64Array) => {
    const out = new Float64Array(rows);
    for (let k = 0; k < TIMES; ++k) out.set(column, k * column.length);
    return out;
  };
  const columns = Object.fromEntries(MOTION_COLUMNS.map((name) => [name, repeat(minutes[name])]));
  const timeUs = Float64Array.from({ length: rows }, (_, i) => i * STEP_US);
  const raw: MotionLog = { ...(columns as unknown as MotionColumns), timeUs };
  const saturated = new Uint8Array(rows);
  const facts = { rows, duplicates: 0, backwards: 0, badRowCount: 0, columns: [{ role: 'time', unit: 's' }] };
  const check = (): unknown => {
    const { uniform } = buildTimeBase(raw, saturated);
    const motion = computeMotion(uniform, DEFAULT_CALIBRATION);
    return checkSignals({ raw, saturated, uniform, facts, motion, calibration: null });
  };
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; ++round) times.push(await processorMs(check));
  const seconds = (upperMedian(times) / 1000).toFixed(1);
  print(
    `an hour at 1 kHz through the whole signal check, its motion with it: ${seconds} s of processor time (target < 8 s)`,
  );
}

async function besidePython(print: Print, log: MotionLog, path: string): Promise<void> {
  const { length } = log.timeUs;
  const setup = [
    'from scipy import signal',
    `d = np.fromfile(${JSON.stringify(path)}).reshape(6, ${length})`,
    'g = d[:3].T.copy(); a = d[3:].T.copy()',
    `fs = ${RATE_HZ}`,
  ].join('\n');
  const truth = (): number => {
    const segments = [{ start: 0, end: length }];
    const speed = computeTrueSpeed(log.gyroYDps, log.gyroZDps, segments, RATE_HZ);
    return findPeaks(speed, { minHeight: SWING_MIN_PEAK_DPS, minProminence: PROMINENCE_DPS }).length;
  };
  const found = { name: 'sosfiltfilt and find_peaks', setup: `${setup}\n${TRUTH}`, value: 'truth()' };
  await pairWithPython(print, 'true speed and its peaks, 5 min', truth, { ...found, within: 0 }, 'none');
  const gravity = (): number => {
    const filter = new OrientationFilter(RATE_HZ);
    const up = new Float64Array(3 * length);
    for (let i = 0; i < length; ++i) {
      const [x, y, z] = [log.gyroXDps[i]!, log.gyroYDps[i]!, log.gyroZDps[i]!];
      filter.step(x, y, z, log.accelXG[i]!, log.accelYG[i]!, log.accelZG[i]!);
      up.set([filter.upX, filter.upY, filter.upZ], 3 * i);
    }
    return up[3 * length - 3]!;
  };
  const turned = { name: 'NumPy in blocks and sosfilt', setup: `${setup}\n${GRAVITY}`, value: 'gravity()' };
  await pairWithPython(print, 'gravity, 5 min', gravity, { ...turned, within: 1e-9 }, 'none');
  const { uniform } = buildTimeBase(log);
  const rests = (): unknown => findStillStretches(uniform);
  const windows = {
    name: 'means and variances of NumPy alone',
    setup: `${setup}\n${WINDOWS}`,
    value: 'windows()',
  };
  await pairWithPython(print, 'rests for the calibration, 5 min', rests, windows, 'none');
}

/** Both passes' corner as Winter corrects it. */
const TRUTH = `
k = np.tan(np.pi * 16 / fs) / (np.sqrt(2) - 1) ** 0.25
sos = signal.butter(2, np.arctan(k) * fs / np.pi, fs=fs, output='sos')
def truth():
    y = signal.sosfiltfilt(sos, g[:, 1]); z = signal.sosfiltfilt(sos, g[:, 2])
    return len(signal.find_peaks(np.sqrt(y * y + z * z), height=90, prominence=60)[0])
`;

/** Attitudes one after another are a product that goes on: within all blocks at once, then from block to block. */
const GRAVITY = `
def times(p, q):
    (a, b, c, d), (e, f, g_, h) = np.moveaxis(p, -1, 0), np.moveaxis(q, -1, 0)
    return np.stack([a*e - b*f - c*g_ - d*h, a*f + b*e + c*h - d*g_, a*g_ - b*h + c*e + d*f, a*h + b*g_ - c*f + d*e], -1)
def turn(q, v):
    w, u = q[:, :1], q[:, 1:]
    t = 2 * np.cross(u, v)
    return v + w * t + np.cross(u, t)
sos = signal.butter(2, 0.12, fs=fs, output='sos')
def gravity():
    n = len(g); m = int(np.ceil(np.sqrt(n))); start = int(np.ceil(0.5 * fs))
    w = (g[1:] + g[:-1]) * (np.pi / 180 / fs / 2)
    size = np.sqrt((w * w).sum(1))
    q = np.zeros((m * m, 4)); q[:, 0] = 1
    q[1:n, 0] = np.cos(size / 2)
    q[1:n, 1:] = w * np.where(size > 1e-12, np.sin(size / 2) / np.maximum(size, 1e-300), 0.5)[:, None]
    q = q.reshape(m, m, 4)
    for k in range(1, m): q[:, k] = times(q[:, k - 1], q[:, k])
    for k in range(1, m): q[k] = times(q[k - 1, -1], q[k])
    q = q.reshape(-1, 4)[:n]
    q /= np.sqrt((q * q).sum(1))[:, None]
    f = turn(q, a)
    mean = np.empty_like(f)
    mean[:start] = np.cumsum(f[:start], 0) / np.arange(1, start + 1)[:, None]
    zi = signal.sosfilt_zi(sos)[:, :, None] * mean[start - 1]
    mean[start:] = signal.sosfilt(sos, f[start:], axis=0, zi=zi)[0]
    up = turn(q * [1, -1, -1, -1], mean / np.sqrt((mean * mean).sum(1))[:, None])
    return up[-1, 0]
`;

const WINDOWS = `
def windows():
    v = np.lib.stride_tricks.sliding_window_view(d, fs // 2, axis=1)[:, ::fs // 4]
    return (v.mean(-1) + v.var(-1)).sum()
`;
