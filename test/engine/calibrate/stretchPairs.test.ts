import { describe, expect, test } from 'vitest';
import type { UniformLog } from '../../../server/engine/base/log.ts';
import { StretchPairs, type Vec3 } from '../../../server/engine/calibrate/stretchPairs.ts';
import { stretchMeans } from '../../reference/stretchMeans.ts';
import { wildLog } from '../uniformLogs.ts';

/** Of 22 s, with pairs one over another; of three parts, the second too short for a pair; of minutes, of which some pairs are used. */
const LOGS: Readonly<Record<string, UniformLog>> = {
  'one run, 200 Hz': wildLog(1, 4400),
  'a rate of which no whole number is a bin, 133 Hz': wildLog(2, 3000, { rateHz: 133 }),
  'a rate below a bin, 52 Hz': wildLog(3, 1100, { rateHz: 52 }),
  gaps: wildLog(4, 5000, {
    segments: [
      { start: 0, end: 1411 },
      { start: 1411, end: 2000 },
      { start: 2000, end: 5000 },
    ],
  }),
  'minutes, of which pairs are chosen': wildLog(5, 40_000, { rateHz: 100, stillSamples: 9000 }),
};

const WAYS: readonly (readonly [Vec3, Vec3, number])[] = [
  [[1, 1, 1], [0, 0, 0], 0],
  [[0, 0, 0], [0, 0, 0], 0],
  [[-57.3, 0.9, 2], [0.01, -0.02, 0.03], 0],
  [[1.1, 1, 0.95], [0, 0.02, 0], 0.004],
];

describe.each(Object.entries(LOGS))('%s', (_, log) => {
  test.each(WAYS)(
    'rates by %j less %j, the force %f s late: the sums are those of every pair by itself',
    (factors, offsets, delayS) => {
      const pairs = new StretchPairs(log);
      expect(pairs.count).toBeGreaterThan(6);
      const want = stretchMeans(log, pairs.starts, factors, offsets, delayS);
      // The second time it writes over what the first has left.
      pairs.propagated([3, 2, 1]);
      const got = pairs.propagated(factors, offsets, delayS);
      expect(got).toHaveLength(want.length);
      const worst = got.reduce((most, value, k) => Math.max(most, Math.abs(value - want[k]!)), 0);
      expect(worst).toBeLessThan(1e-10);
    },
  );
});
