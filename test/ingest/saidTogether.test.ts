import { describe, expect, test } from 'vitest';
import { checkTake } from '../../server/cli/inspectCheck.ts';
import { describePreview } from '../../server/cli/inspectText.ts';
import { wordedLine } from '../../server/engine/words/check/check.ts';
import type { Overrides } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { rollingTake, rowsOf, type Sample, SIX, textSource } from './logs.ts';

const NAMES = 'gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';

/** All that is said of one log: the preview's text, its warnings, and the check's lines by their id. */
async function saidOf(text: string, stated: Overrides = {}) {
  const source = textSource(text);
  const preview = await previewLog([source], stated, {});
  const check = checkTake(await readTake([source], preview.mapping, {}), preview.mapping, null);
  const lines = new Map(check.lines.map((line) => [line.id, wordedLine(line)]));
  return {
    text: describePreview(['take.csv'], preview),
    warnings: preview.report!.warnings.join('\n'),
    lines,
  };
}

const stamped = (take: readonly Sample[], stamp: (s: Sample, i: number) => string) =>
  `time_s,${NAMES}\n${rowsOf(take, [stamp, ...SIX])}`;
const inSeconds = (s: Sample) => s.t.toFixed(4);

describe('what is said of one log agrees', () => {
  test('beside a gap no line says that no row is missing', async () => {
    const take = rollingTake(2500, 100).filter(({ t }) => t < 3 || t > 22.9);
    const { lines } = await saidOf(stamped(take, inSeconds));
    expect(lines.get('gaps')!.finding).toContain('19.9 s lost');
    expect(lines.get('clock')!.finding).toContain('outside the gap no row is missing');
  });

  test('without stamps nothing is said of stamps', async () => {
    const text = `${NAMES}\n${rowsOf(rollingTake(600, 100), [...SIX])}`;
    const said = await saidOf(text, { rateHz: 100 });
    expect(said.lines.get('rows')!.finding).toBe('All 600 rows read; the log has no stamps.');
    expect(said.lines.get('clock')!.finding).toContain('no clock');
    expect(said.text).toContain('  no stamps, 0 gaps, 0 bad rows\n');
  });

  test('stamps that were put aside are not called even', async () => {
    const text = stamped(rollingTake(1200, 100), (_, i) =>
      (Math.floor(i / 10) / 10 + 0.1 + (i % 10) * 4e-5).toFixed(6),
    );
    const { lines, text: shown } = await saidOf(text);
    expect(lines.get('clock')).toMatchObject({ state: 'caution' });
    expect(lines.get('clock')!.finding).toMatch(/^Stamps come in bunches: .* 100(\.\d+)? Hz/);
    expect(shown).toContain('which come in bunches');
  });

  test('rows of zeros are no part of "all rows read"', async () => {
    const rows = rowsOf(rollingTake(600, 100), [inSeconds, ...SIX]);
    const { lines, text } = await saidOf(`time_s,${NAMES}\n${rows}${'0,0,0,0,0,0,0\n'.repeat(50)}`);
    expect(lines.get('rows')).toMatchObject({ state: 'caution' });
    expect(lines.get('rows')!.finding).toContain('50 rows of zeros alone');
    expect(text).toContain('50 rows of zeros');
  });

  test('where nothing lies still, nothing is said to read at rest', async () => {
    const shaken = rollingTake(600, 100).map(({ t, gyro, accel }, i): Sample => {
      const sway = Math.sin(i / 3);
      return {
        t,
        gyro: [gyro[0] + 200 * sway, gyro[1], gyro[2]],
        accel: [1.3 + 0.4 * sway, accel[1], accel[2]],
      };
    });
    const { warnings } = await saidOf(stamped(shaken, inSeconds), { accelUnit: 'g', gyroUnit: 'deg/s' });
    expect(warnings).not.toMatch(/at rest \|f\|/);
    expect(warnings).toMatch(/nothing lies still here/);
  });

  test('a rate that the file states and the clock does not give is named, with what to do', async () => {
    const text = `# sample rate: 200 Hz\n${stamped(rollingTake(600, 100), inSeconds)}`;
    const { warnings } = await saidOf(text);
    expect(warnings).toMatch(/stamps give 100 Hz, not 200 Hz .*choose the even clock$/m);
    expect((await saidOf(text, { clock: 'even', rateHz: 200 })).warnings).toMatch(
      /even steps of the stated rate of 200 Hz/,
    );
  });
});
