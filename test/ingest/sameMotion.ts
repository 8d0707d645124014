import { expect } from 'vitest';
import type { Overrides } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { codes, FORCES, RATES, rollingTake, type Sample, textSource } from './logs.ts';

const RATE_HZ = 100;

/** The motion that all dialects hold. */
export const take = rollingTake(900, RATE_HZ);

/** Forces and rates in SI, and in codes. */
export const SI = [...FORCES, ...RATES];
export const sixCodes = (perG: number, perDps: number) => [...codes('accel', perG), ...codes('gyro', perDps)];

/** A sample's moment on an invented day. */
export const iso = (s: Sample, digits: number): string => {
  const whole = Math.floor(s.t + 1e-9);
  const part = (s.t - whole).toFixed(digits).slice(1);
  return `2026-05-09T15:30:${String(whole).padStart(2, '0')}${digits > 0 ? part : ''}`;
};

export interface Expected {
  readonly accelUnit?: string;
  readonly gyroUnit?: string;
  readonly timeUnit?: string;
  readonly overrides?: Overrides;
  readonly presses?: number;
}

/** A log that holds `take`, as some writer has it. */
export type Dialect = readonly [name: string, text: string | Uint8Array, expected: Expected];

/** The motion must come out the same, whatever wrote it, with nothing asked of the user. */
export async function expectSameMotion(text: string | Uint8Array, expected: Expected): Promise<void> {
  const source = textSource(text);
  const preview = await previewLog([source], expected.overrides ?? {}, {});
  expect(preview.needs).toEqual([]);
  const { log, report } = await readTake([source], preview.mapping, {});
  const unitOf = (role: string) => preview.mapping.columns.find((column) => column.role === role)?.unit;
  if (expected.accelUnit) expect(unitOf('accelX')).toBe(expected.accelUnit);
  if (expected.gyroUnit) expect(unitOf('gyroX')).toBe(expected.gyroUnit);
  if (expected.timeUnit) expect(unitOf('time')).toBe(expected.timeUnit);
  expect(report).toEqual(preview.report);
  expect(report.badRowCount).toBe(0);
  expect(report.rows).toBe(take.length);
  expect(Math.abs(report.rateHz - RATE_HZ)).toBeLessThan(0.02);
  if (expected.presses !== undefined)
    expect(report.presses.map(({ count }) => count)).toEqual([expected.presses]);
  for (const i of [0, 150, 399, 651, 899]) {
    const { gyro: rates, accel: force, t } = take[i]!;
    expect(Math.abs(log.timeUs[i]! - t * 1e6)).toBeLessThan(2);
    // Codes of 1/16.4 deg/s and 1/2048 g are the coarsest.
    expect(Math.abs(log.gyroXDps[i]! - rates[0])).toBeLessThan(0.04);
    expect(Math.abs(log.gyroZDps[i]! - rates[2])).toBeLessThan(0.04);
    expect(Math.abs(log.accelYG[i]! - force[1])).toBeLessThan(6e-4);
    expect(Math.abs(log.accelZG[i]! - force[2])).toBeLessThan(6e-4);
  }
}
