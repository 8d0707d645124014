import { describe, expect, test } from 'vitest';
import type { MotionColumns, MotionLog } from '../../../server/engine/base/log.ts';
import { wordedCheck } from '../../../server/engine/words/check/check.ts';
import { check, lineOf } from './checkedTakes.ts';

/** A log of even steps with the columns given, zeros elsewhere. */
function logOf(
  length: number,
  rateHz: number,
  columns: Partial<Record<keyof MotionColumns, (s: number) => number>>,
): MotionLog {
  const column = (of: (s: number) => number) => Float64Array.from({ length }, (_, i) => of(i / rateHz));
  return {
    timeUs: column((s) => Math.round(s * 1e6)),
    gyroXDps: column(columns.gyroXDps ?? (() => 0)),
    gyroYDps: column(columns.gyroYDps ?? (() => 0)),
    gyroZDps: column(columns.gyroZDps ?? (() => 0)),
    accelXG: column(columns.accelXG ?? (() => 0)),
    accelYG: column(columns.accelYG ?? (() => 0)),
    accelZG: column(columns.accelZG ?? (() => 0)),
  };
}

const swinging = {
  gyroXDps: (s: number) => 120 * Math.sin(2 * Math.PI * 0.31 * s),
  gyroYDps: (s: number) => 200 * Math.sin(2 * Math.PI * 0.43 * s),
  gyroZDps: (s: number) => 500 * Math.sin(2 * Math.PI * 0.37 * s),
  accelXG: (s: number) => -2 * Math.sin(2 * Math.PI * 0.37 * s) ** 2,
  accelZG: (s: number) => 1 + 0.1 * Math.sin(s),
};

describe.each<[string, MotionLog]>([
  ['of no sample', logOf(0, 100, {})],
  ['of one sample', logOf(1, 100, swinging)],
  ['of three samples', logOf(3, 100, swinging)],
  ['of nothing but 0', logOf(1000, 100, {})],
  ['that never changes', logOf(1000, 100, { gyroXDps: () => 0.5, accelZG: () => 1 })],
  ['stuck at the end of every channel', logOf(1000, 100, { gyroZDps: () => 2000, accelXG: () => 16 })],
  ['of one sample a second', logOf(600, 1, swinging)],
  ['of one sample in ten seconds', logOf(60, 0.1, swinging)],
  ['of ten samples a second', logOf(600, 10, swinging)],
  ['of ten thousand samples a second', logOf(30_000, 10_000, swinging)],
])('a log %s', (_name, log) => {
  test('is checked, and every sentence says something', () => {
    const { lines, headline } = wordedCheck(check(log));
    for (const text of [headline, ...lines.flatMap(({ finding, advice }) => [finding, advice])])
      expect(text).not.toMatch(/NaN|undefined|Infinity/);
  });
});

test('a force that is 1 g to the last bit and never turns: nothing is explained by the gyro', () => {
  const log = logOf(1000, 100, { gyroXDps: () => 1, accelXG: () => 1, accelYG: () => 1, accelZG: () => 1 });
  expect(check(log).data.gravity.fit).toBe(0);
});

test.each([
  ['three seconds', logOf(300, 100, swinging)],
  ['a sample a second', logOf(600, 1, swinging)],
])('%s of swings: gravity was not tested, and not because nothing turned', (_name, log) => {
  const { state, finding } = lineOf(check(log), 'gravity');
  expect(state).toBe('caution');
  expect(finding).toBe('Not tested: it takes four seconds without a gap, of 4 samples a second or more.');
});
