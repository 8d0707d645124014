import { expect, test } from 'vitest';
import { armLogs, findFalseFails, metronomeLogs } from '../../scripts/bench/falseFails.ts';

// The short form of `npm run bench -- falseFails`: the sensor and the beat that are hardest.
test.each([
  ['arms with a poor sensor', () => armLogs('poor', [6001])],
  ['metronomes', () => metronomeLogs([0.7])],
])('no line of the signal check fails in a sound take: %s', (_name, logs) => {
  const { takes, failed } = findFalseFails(logs());
  expect(takes).toBe(6);
  expect(failed).toEqual([]);
});
