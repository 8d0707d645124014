import { expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { seededRandom } from '../seeded.ts';
import { rollingTake, rowsOf, SIX, textSource } from './logs.ts';

test.each([500, 667])(
  'at %i Hz a lost row stays lost where whole-millisecond stamps jitter by half a millisecond',
  async (rateHz) => {
    const random = seededRandom(7);
    const lost = new Set([211, 900, 1713, 2400, 2900]);
    const take = rollingTake(6 * rateHz, rateHz);
    const rows = rowsOf(take, [(s) => (1000 * s.t + random() - 0.5).toFixed(0), ...SIX]);
    const text = `time_ms,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g\n${rows}`;
    const kept = text.split('\n').filter((_, i) => !lost.has(i));
    const { report } = await previewLog([textSource(kept.join('\n'))], {}, {});
    expect(report).toMatchObject({ rows: 6 * rateHz - 5, gaps: 0 });
    // Spread over the whole log, five lost rows would slow the rate by more than 0.1 %.
    expect(Math.abs(report!.rateHz - rateHz)).toBeLessThan(3e-4 * rateHz);
  },
);
