import { expect, test } from 'vitest';
import { SumInOrder } from '../../web/sweep/sumInOrder.ts';
import { fc } from '../engine/properties.ts';

type Sum = readonly [text: string, size: number];

/** Tells what was added at once, and in which order; sizes as floats, whose sum depends on both. */
const add = ([text, size]: Sum, parts: readonly number[]): Sum => [
  `(${text} ${parts.join(' ')})`,
  size + parts.reduce((sum, part) => sum + 0.1 * part, 0),
];
const summing = (count: number) => new SumInOrder<number, Sum>(count, ['', 0], add);

/** Places in some order, and those of them that have no part. */
const drawn = fc.nat({ max: 150 }).chain((count) =>
  fc.record({
    order: fc.shuffledSubarray(
      Array.from({ length: count }, (_, i) => i),
      { minLength: count },
    ),
    missing: fc.uniqueArray(fc.nat({ max: 150 }), { maxLength: 60 }),
  }),
);

test('what comes in any order is summed as if it had come in its own, to the last digit', () => {
  fc.assert(
    fc.property(drawn, ({ order, missing }) => {
      const [some, inOrder] = [summing(order.length), summing(order.length)];
      const part = (place: number) => (missing.includes(place) ? null : place);
      for (const place of order) some.put(place, part(place));
      for (let place = 0; place < order.length; ++place) inOrder.put(place, part(place));
      expect(some.soFar()).toEqual(inOrder.soFar());
    }),
  );
});

test('the sum so far holds each part that has come once, whatever is missing', () => {
  fc.assert(
    fc.property(drawn, fc.nat({ max: 150 }), ({ order, missing }, come) => {
      const sum = summing(order.length);
      const here = order.slice(0, come);
      for (const place of here) {
        sum.put(place, missing.includes(place) ? null : place);
        if (place % 40 === 0) sum.soFar();
      }
      const numbers = (sum.soFar()[0].match(/\d+/g) ?? []).map(Number);
      const parts = here.filter((place) => !missing.includes(place)).sort((a, b) => a - b);
      expect(numbers).toEqual(parts);
    }),
  );
});
