import { describe, expect, test } from 'vitest';
import { COVERAGE_KINDS, measureCoverage } from '../../scripts/bench/coverageTakes.ts';

// The short form of `npm run bench -- coverage`, with the sensor that makes it hardest. Of 5 takes a single miss is not
// rare: it is the sums that must come out.
describe.each(COVERAGE_KINDS)('intervals from takes of a poor sensor, %s', (kind) => {
  const found = measureCoverage(kind, 'poor', 5);

  test('the gyro’s slope lies in its interval, and every take knows it', () => {
    expect(found.slope.of).toBe(5);
    expect(found.slope.held).toBeGreaterThanOrEqual(4);
  });

  test('the bias at each rest lies in its interval in 9 of 10', () => {
    expect(found.bias.of).toBeGreaterThanOrEqual(24);
    expect(found.bias.held / found.bias.of).toBeGreaterThanOrEqual(0.9);
  });
});
