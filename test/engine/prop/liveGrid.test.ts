import { describe, expect, test } from 'vitest';
import type { MotionLog } from '../../../server/engine/base/log.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { LiveGrid } from '../../../server/engine/prop/liveGrid.ts';
import { seededRandom } from '../../seeded.ts';

const NAMES = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;

/** Rows with jitter; of some nothing came, of others several in a row. */
function unevenLog(rows: number, seed: number): MotionLog {
  const random = seededRandom(seed);
  const times: number[] = [];
  for (let i = 0; i < rows; ++i) {
    const isLost = random() < 0.03 || i % 400 > 390;
    if (!isLost) times.push(Math.round(i * 5000 + 1500 * random()));
  }
  const columns = NAMES.map((name) => [name, Float64Array.from(times, () => random() - 0.5)] as const);
  return { timeUs: Float64Array.from(times), ...Object.fromEntries(columns) } as MotionLog;
}

function gridOf(log: MotionLog, rateHz: number) {
  const samples: number[][] = [];
  const starts: number[] = [];
  const grid = new LiveGrid(rateHz, {
    begin: () => starts.push(samples.length),
    sample: (timeUs, values) => samples.push([timeUs, ...values]),
  });
  const columns = NAMES.map((name) => log[name]);
  for (let i = 0; i < log.timeUs.length; ++i) grid.push(log.timeUs[i]!, columns, i);
  return { samples, starts, grid };
}

describe('LiveGrid', () => {
  test.each([1, 2, 3])(
    'gives the samples that the whole log has on its grid, with its gaps (seed %i)',
    (seed) => {
      const log = unevenLog(2000, seed);
      const { uniform, gaps, resampled } = buildTimeBase(log);
      expect([resampled, gaps.length]).toEqual([true, 4]);
      const { samples, starts, grid } = gridOf(log, uniform.rateHz);
      expect(starts).toEqual(uniform.segments.map(({ start }) => start));
      expect(grid.gaps).toBe(gaps.length);
      expect(samples.length).toBe(uniform.timeUs.length);
      for (const [i, [timeUs, ...values]] of samples.entries()) {
        expect(timeUs).toBe(uniform.timeUs[i]);
        for (const [k, name] of NAMES.entries()) expect(values[k]).toBeCloseTo(uniform[name][i]!, 9);
      }
    },
  );

  test('counts rows that are lost, in gaps too, and leaves late ones out', () => {
    const column = new Float64Array(20);
    const columns = NAMES.map(() => column);
    const times: number[] = [];
    const grid = new LiveGrid(1000, { begin: () => {}, sample: (timeUs) => times.push(timeUs) });
    for (const [i, ms] of [0, 1, 2, 4, 5, 5, 4.5, 6, 16, 17].entries()) grid.push(ms * 1000, columns, i);
    expect(times.map((timeUs) => timeUs / 1000)).toEqual([0, 1, 2, 3, 4, 5, 6, 16, 17]);
    expect(grid).toMatchObject({ lostRows: 1 + 9, gaps: 1, lateRows: 2 });
  });

  test('a clock that begins anew is a gap', () => {
    const columns = NAMES.map(() => new Float64Array(4));
    const begun: number[] = [];
    const grid = new LiveGrid(100, { begin: (timeUs) => begun.push(timeUs), sample: () => {} });
    for (const [i, timeUs] of [5_000_000, 5_010_000, 0, 10_000].entries()) grid.push(timeUs, columns, i);
    expect(begun).toEqual([5_000_000, 0]);
    expect(grid).toMatchObject({ lostRows: 0, gaps: 1 });
  });
});
