import type { MotionColumns, Segment, UniformLog } from '../../server/engine/base/log.ts';
import { seededNormal } from '../seeded.ts';

const COLUMNS = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;

/** A log on a whole-microsecond grid, with the columns given and zeros elsewhere, 0.5 s of gap between segments. */
export function uniformLog(
  length: number,
  columns: Partial<Record<keyof MotionColumns, (n: number) => number>> = {},
  options: { rateHz?: number; segments?: readonly Segment[] } = {},
): UniformLog {
  const { rateHz = 200, segments = length > 0 ? [{ start: 0, end: length }] : [] } = options;
  const stepUs = 1e6 / rateHz;
  const timeUs = new Float64Array(length);
  let originUs = 0;
  for (const { start, end } of segments) {
    for (let i = start; i < end; ++i) timeUs[i] = originUs + Math.round((i - start) * stepUs);
    originUs = timeUs[end - 1]! + 500_000;
  }
  const filled = Object.fromEntries(
    COLUMNS.map((name) => [name, Float64Array.from({ length }, (_, n) => columns[name]?.(n) ?? 0)]),
  ) as unknown as MotionColumns;
  return { ...filled, timeUs, rateHz, stepUs, segments, saturated: new Uint8Array(length) };
}

/** A restless log: swings, twists and pushes with noise on top, and still for the first `stillSamples`. */
export function wildLog(
  seed: number,
  length: number,
  options: { rateHz?: number; segments?: readonly Segment[]; stillSamples?: number } = {},
): UniformLog {
  const normal = seededNormal(seed);
  const { rateHz = 200, stillSamples = 0 } = options;
  const wave = (size: number, hz: number, noise: number) => (n: number) =>
    (n < stillSamples ? 0 : size * Math.sin((2 * Math.PI * hz * n) / rateHz)) + noise * normal();
  const up = wave(0.5, 0.9, 0.004);
  const columns = {
    gyroXDps: wave(150, 0.7, 0.2),
    gyroYDps: wave(300, 1.1, 0.2),
    gyroZDps: wave(600, 1.7, 0.2),
    accelXG: wave(2, 3.4, 0.004),
    accelYG: wave(0.6, 1.7, 0.004),
    accelZG: (n: number) => 1 + up(n),
  };
  return uniformLog(length, columns, options);
}

/** The samples before `end`, with the segments that they make up. */
export function headOf(log: UniformLog, end: number): UniformLog {
  const cut = Object.fromEntries(COLUMNS.map((name) => [name, log[name].slice(0, end)]));
  return {
    ...log,
    ...(cut as unknown as MotionColumns),
    timeUs: log.timeUs.slice(0, end),
    saturated: log.saturated.slice(0, end),
    segments: log.segments
      .filter(({ start }) => start < end)
      .map((segment) => ({ start: segment.start, end: Math.min(end, segment.end) })),
  };
}
