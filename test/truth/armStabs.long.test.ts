import { expect, test, vi } from 'vitest';
import { countStabs, FORMER_STAB, stabTake } from '../../scripts/bench/stabs.ts';
import { ARM_KINDS } from '../../scripts/simulate/armTakes.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';

const { stab } = DEFAULT_CANDIDATE;

// Simulating these takes is slow where others use the machine too.
vi.setConfig({ testTimeout: 180_000 });

/** The short form of `npm run bench -- stabs`. */
test('swings from wrist, elbow and shoulder, parries and stops that ring: the thrusts are found, and no stab is false', () => {
  const takes = ARM_KINDS.flatMap((kind) => [1, 2].map((seed) => stabTake(kind, 'good', seed)));
  const now = countStabs(takes, stab);
  expect(now.thrusts).toBe(5 * 2 * 2 + 2 * 4);
  expect(now).toEqual({ thrusts: now.thrusts, found: now.thrusts, falseOnes: 0 });
  // the rule before found as many, and more that were none
  const before = countStabs(takes, FORMER_STAB);
  expect(before.found).toBe(now.found);
  expect(before.falseOnes).toBeGreaterThan(0);
});

test('each half of the rule is needed', () => {
  const takes = [1, 2, 3, 4, 5].map((seed) => stabTake('threeJoints', 'ideal', seed));
  const none = countStabs(takes, stab);
  expect(none.falseOnes).toBe(0);
  expect(countStabs(takes, { ...stab, quietBeforeMs: 0 }).falseOnes).toBeGreaterThan(0);
  expect(countStabs(takes, { ...stab, untilHitDps: 10000 }).falseOnes).toBeGreaterThan(0);
});
