import { describe, expect, test } from 'vitest';
import { eventsForClaim } from '../../../server/engine/choose/claim.ts';
import { clopperPearsonInterval } from '../../../server/engine/statistics/clopperPearson.ts';

// Hanley & Lippman-Hand, JAMA 249 (1983), 1743-1745 [citation from memory; numbers recomputed]
test.each([
  [0.05, 59],
  [0.01, 299],
])('rule of three, exact: below %d, with none seen, takes %d events', (share, events) => {
  expect(eventsForClaim(0, share)).toBe(events);
});

test('it is the least n whose exact one-sided 95 % upper limit is within the claim', () => {
  for (const k of [0, 1, 2, 3, 7, 20]) {
    const upper = (n: number) => clopperPearsonInterval(k, n, 0.9)!.high;
    const n = eventsForClaim(k);
    expect(upper(n)).toBeLessThanOrEqual(0.05);
    expect(upper(n - 1)).toBeGreaterThan(0.05);
  }
});

// 1 - (1 - confidence)^(1/n) <= share, solved for n
test('with none seen it is the closed form', () => {
  for (const share of [0.3, 0.1, 0.02, 0.001]) {
    for (const confidence of [0.9, 0.95, 0.99]) {
      const n = Math.ceil(Math.log(1 - confidence) / Math.log(1 - share));
      expect(eventsForClaim(0, share, confidence)).toBe(n);
    }
  }
});

describe('out of bounds', () => {
  test.each([
    [-1, 0.05, 0.95, 'k'],
    [0.5, 0.05, 0.95, 'k'],
    [0, 0, 0.95, 'share'],
    [0, 1, 0.95, 'share'],
    [0, 0.05, 1, 'confidence'],
  ])('k %d, share %d, confidence %d names %s', (k, share, confidence, name) => {
    expect(() => eventsForClaim(k, share, confidence)).toThrow(new RegExp(`^${name} must`));
  });
});
