import { expect, test } from 'vitest';
import { coverageOf } from '../../../../scripts/bench/motion/coverage.ts';
import { SPIN_KINDS, spinPool } from '../../../../scripts/bench/motion/spinPool.ts';

const DRAWS = 250;
/** An interval that holds in exactly 95 of 100 would be seen to hold in fewer than this once in ten thousand times. */
const LEAST_SEEN = 0.95 - 3.7 * Math.sqrt((0.95 * 0.05) / DRAWS);

// The short form of `npm run bench -- motion`: three kinds of spins, few and many of them.
test.each(SPIN_KINDS)(
  'of %s spins, intervals that say at least 95 % hold so often, at any setting and at the chosen one',
  (kind) => {
    const pool = spinPool(kind, 150, 5);
    for (const count of [5, 20]) {
      const found = coverageOf(pool, count, DRAWS, 3);
      expect(found.settings).toBeGreaterThan(20);
      expect(found.least).toBeGreaterThan(LEAST_SEEN);
      expect(found.mean).toBeGreaterThan(0.95);
      expect(found.chosenSpins).toBeGreaterThan(LEAST_SEEN);
      expect(found.chosenStops).toBeGreaterThan(LEAST_SEEN);
    }
  },
);
