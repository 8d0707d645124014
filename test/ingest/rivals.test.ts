import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { textSource } from './logs.ts';
import { RIVALS } from './rivals.ts';

/** The units and rates of the invented swings are exact; what is written has three to five decimals. */
const PEAK_WITHIN = 0.005;

describe.each([...new Set(RIVALS.map(({ kind }) => kind))])('%s', (kind) => {
  test.each(RIVALS.filter((own) => own.kind === kind))('$name', async ({ text, used, says, peaks }) => {
    const { mapping, report, needs } = await previewLog([textSource(text)], {}, {});
    if (used === null) {
      expect(report).toBeNull();
      expect(needs.join('\n')).toMatch(says!);
      return;
    }
    const shown = mapping.columns
      .filter(({ role }) => role !== 'ignored')
      .map(({ role, index, unit }) => `${role}=${index}[${unit}]`);
    expect(needs).toEqual([]);
    expect(shown.join(' ')).toBe(used);
    if (says === null) expect(report!.warnings).toEqual([]);
    else expect(report!.warnings.join('\n')).toMatch(says);
    if (!peaks) return;
    const [rate, force] = peaks;
    expect(Math.abs(report!.peakRateDps / rate - 1)).toBeLessThan(PEAK_WITHIN);
    expect(Math.abs(report!.peakAccelG / force - 1)).toBeLessThan(PEAK_WITHIN);
  });
});
