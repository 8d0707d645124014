import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { MotionLog } from '../../../server/engine/base/log.ts';
import { judgeStatedRate } from '../../../server/engine/check/statedRate.ts';
import { previewAndRead } from '../../../server/ingest/preview/preview.ts';
import { textSource } from '../../ingest/logs.ts';

const TAKES = [
  ['spinner-slow-figure-eight.csv', 200],
  ['duellist-twist-dial.csv', 100],
] as const;

/** A demo take whose rows have the times that a stated rate gives them. */
async function logAt(name: string, statedHz: number): Promise<MotionLog> {
  const { take } = await previewAndRead([textSource(readFileSync(`fixtures/${name}`), name)], {}, {});
  return { ...take!.log, timeUs: take!.log.timeUs.map((_, row) => Math.round((row * 1e6) / statedHz)) };
}

describe.each(TAKES)('%s without its stamps, at %d Hz in truth', (name, trueHz) => {
  test('the right rate fits', async () => {
    const found = judgeStatedRate(await logAt(name, trueHz), trueHz);
    expect(found).toMatchObject({ kind: 'fits' });
    expect(found!.kind === 'fits' && found!.offShare).toBeLessThan(0.02);
  });

  test.each([0.1, 0.5, 0.8, 1.2, 2.08, 10])(
    'at %d times that rate gravity tells the true one',
    async (by) => {
      const found = judgeStatedRate(await logAt(name, trueHz * by), trueHz * by);
      expect(found).toMatchObject({ kind: 'misfits' });
      const fittingHz = found!.kind === 'misfits' ? found!.fittingHz : 0;
      expect(Math.abs(fittingHz / trueHz - 1)).toBeLessThan(0.02);
    },
  );
});

test('without gravity, and without a turn, nothing is said', async () => {
  const log = await logAt('duellist-twist-dial.csv', 250);
  const none = new Float64Array(log.timeUs.length);
  expect(judgeStatedRate({ ...log, accelXG: none, accelYG: none, accelZG: none }, 250)).toBe(null);
  expect(judgeStatedRate({ ...log, gyroXDps: none, gyroYDps: none, gyroZDps: none }, 250)).toBe(null);
});

test('who previews a log without stamps hears that a stated rate does not fit', async () => {
  const lines = readFileSync('fixtures/beginner-first-lesson.csv', 'utf8').trimEnd().split('\n');
  const stampless = lines.map((line, i) => `${i === 0 ? 'sample' : i}${line.slice(line.indexOf(','))}`);
  const warningsAt = async (rateHz: number) => {
    const source = textSource(stampless.join('\n'), 'stampless.csv');
    return (await previewAndRead([source], { rateHz }, {})).preview.report!.warnings.join(' ');
  };
  expect(await warningsAt(208)).toMatch(
    /The stated rate of 208 Hz does not fit the motion: .* at about (99\.\d|100|101) Hz/,
  );
  expect(await warningsAt(100)).not.toContain('does not fit');
});
