import { expect } from 'vitest';
import { WorkbenchError } from '../../../server/errors.ts';
import type { LogSource, Overrides, ReadTake } from '../../../server/ingest/ground/types.ts';
import { previewAndRead } from '../../../server/ingest/preview/preview.ts';
import { readTake } from '../../../server/ingest/take/readTake.ts';

export function sourceOf(bytes: Uint8Array, chunk = 65_536): LogSource {
  return {
    name: 'log.csv',
    sizeBytes: bytes.length,
    async *open() {
      for (let at = 0; at < bytes.length; at += chunk) yield bytes.subarray(at, at + chunk);
    },
  };
}

/**
 * Previews and reads a log: a take in which all is as a take has to be, or null where something is asked, or the log is refused
 * in words. Anything else fails.
 */
export async function readSoundly(bytes: Uint8Array, overrides: Overrides = {}): Promise<ReadTake | null> {
  try {
    const { preview, take } = await previewAndRead([sourceOf(bytes)], overrides, {});
    expect(notFinite(preview)).toEqual([]);
    if (preview.report === null) {
      expect(preview.needs.length).toBeGreaterThan(0);
      return null;
    }
    const read = take ?? (await readTake([sourceOf(bytes)], preview.mapping, {}));
    checkTake(read);
    return read;
  } catch (error) {
    if (!(error instanceof WorkbenchError)) throw error;
    expect(error.message).toMatch(/^.{10,}$/s);
    expect(error.message).not.toMatch(/undefined|\[object|is not a function/);
    return null;
  }
}

export function checkTake({ log, saturated, presses, report }: ReadTake): void {
  const { timeUs, ...columns } = log;
  expect(report.rows).toBe(timeUs.length);
  expect(saturated.length).toBe(timeUs.length);
  for (let i = 1; i < timeUs.length; ++i)
    if (!(timeUs[i]! > timeUs[i - 1]!)) throw new Error(`time falls at ${i}`);
  if (!timeUs.every(Number.isSafeInteger)) throw new Error('times are whole microseconds');
  for (const [name, values] of Object.entries(columns)) {
    expect(values.length).toBe(timeUs.length);
    if (!values.every(Number.isFinite)) throw new Error(`${name} holds what is no number`);
  }
  for (const { downUs, upUs } of presses)
    if (!(downUs >= 0 && (upUs === null || upUs >= downUs))) throw new Error('a press ends before it begins');
  expect(notFinite(report)).toEqual([]);
}

/** Places of numbers that JSON would turn into null. */
function notFinite(value: unknown): string[] {
  const found: string[] = [];
  JSON.stringify(value, (key, one: unknown) => {
    if (typeof one === 'number' && !Number.isFinite(one)) found.push(key);
    return one;
  });
  return found;
}
