import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { MotionLog } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { checkSignals, type SignalCheck } from '../../server/engine/check/checkSignals.ts';
import { computeMotion, type Motion } from '../../server/engine/motion/motion.ts';
import type { LogSource, Mapping, Overrides, ReadTake } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';

export const OPEN = fileURLToPath(new URL('../../fixtures/open/', import.meta.url));

export function openSource(path: string): LogSource {
  return sourceOf(path, new Uint8Array(readFileSync(`${OPEN}${path}`)));
}

/** An extract whose rows are put in the order of a column of numbers first, as its user is asked to do. */
export function sortedSource(path: string, name: string): LogSource {
  const [head, ...rows] = readFileSync(`${OPEN}${path}`, 'utf8').trimEnd().split(/\r?\n/);
  const at = head!.split(',').indexOf(name);
  const stamp = (row: string): number => Number(row.split(',')[at]);
  const sorted = [...rows].sort((a, b) => stamp(a) - stamp(b));
  return sourceOf(path, new TextEncoder().encode(`${[head, ...sorted].join('\n')}\n`));
}

function sourceOf(path: string, bytes: Uint8Array): LogSource {
  return {
    name: path.split('/').at(-1)!,
    sizeBytes: bytes.length,
    async *open() {
      yield bytes;
    },
  };
}

export interface OpenTake extends ReadTake {
  readonly mapping: Mapping;
  readonly motion: Motion;
  check(): SignalCheck;
}

/** An extract as the program reads it: guessed, but for what is stated. */
export function readOpen(paths: readonly string[], stated: Overrides = {}): Promise<OpenTake> {
  return readSources(paths.map(openSource), stated);
}

export async function readSources(sources: readonly LogSource[], stated: Overrides): Promise<OpenTake> {
  const { mapping, needs } = await previewLog(sources, stated, {});
  if (needs.length > 0) throw new Error(needs.join('; '));
  const take = await readTake(sources, mapping, {});
  const { uniform } = buildTimeBase(take.log, take.saturated);
  const motion = computeMotion(uniform, DEFAULT_CALIBRATION);
  const { log, saturated, report } = take;
  const check = () =>
    checkSignals({ raw: log, saturated, uniform, motion, calibration: null, facts: report });
  return { ...take, mapping, motion, check };
}

/** The rows of a file cut at one character and nothing else, below so many lines; names from the last of those. */
export function plainRows(
  path: string,
  headLines: number,
  delimiter = ',',
): {
  readonly lines: readonly string[];
  column(name: string): number[];
} {
  const all = readFileSync(`${OPEN}${path}`, 'utf8').split(/\r?\n/);
  const names = all[headLines - 1]!.split(delimiter);
  const lines = all.slice(headLines).filter((line) => line !== '');
  const column = (name: string): number[] => {
    const at = names.indexOf(name);
    if (at < 0) throw new Error(`${path} has no column ${name}: ${names.join(' ')}`);
    return lines.map((line) => Number(line.split(delimiter)[at]));
  };
  return { lines, column };
}

/** Degrees turned from one sample to another, by the trapezoidal rule; the rate at rest taken off. */
export function turnDeg(
  { timeUs }: Pick<MotionLog, 'timeUs'>,
  rateDps: ArrayLike<number>,
  from: number,
  to: number,
  biasDps = 0,
): number {
  let sum = 0;
  for (let i = from + 1; i <= to; ++i)
    sum += (((rateDps[i]! + rateDps[i - 1]!) / 2 - biasDps) * (timeUs[i]! - timeUs[i - 1]!)) / 1e6;
  return sum;
}

export function indexAt(timeUs: ArrayLike<number>, us: number): number {
  let i = 0;
  while (i + 1 < timeUs.length && timeUs[i]! < us) ++i;
  return i;
}

export const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1]!;
