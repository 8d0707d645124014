import { expect, test } from 'vitest';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { KeptFitness } from '../../web/state/fitnessKept.ts';

const document = (revision: number, leverArmM = 0.2, title = 'A') =>
  ({
    id: 'a',
    revision,
    title,
    calibration: { leverArmM },
    mapping: {},
    report: {},
  }) as unknown as TakeDocument;

test('a judgement holds for its revision and older ones, and not for a newer one', () => {
  const kept = new KeptFitness();
  expect(kept.of('a', 1)).toBe(undefined);
  kept.note(document(2), null);
  expect([kept.of('a', 1), kept.of('a', 2), kept.of('a', 3)]).toEqual([null, null, undefined]);
});

test('a newer revision that differs in names alone rests on the same signals; another calibration does not', () => {
  const kept = new KeptFitness();
  kept.note(document(1), 'the signal check fails it on gaps');
  expect(kept.sameSignals(document(2, 0.2, 'B'))).toBe('the signal check fails it on gaps');
  expect(kept.sameSignals(document(2, 0.3))).toBe(undefined);
});

test('a take that could not be checked counts for nothing until it changes', () => {
  const kept = new KeptFitness();
  kept.noteFailed('a', 1, 'its signals could not be checked (gone)');
  expect(kept.of('a', 1)).toBe('its signals could not be checked (gone)');
  expect(kept.of('a', 2)).toBe(undefined);
  expect(kept.sameSignals(document(1))).toBe(undefined);
});
