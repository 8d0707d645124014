import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { LabelItem } from '../../server/engine/labels/labelsEdit.ts';
import { itemsInSight } from '../../web/panels/labels/itemsInSight.ts';

const span = fc.tuple(fc.nat(1000), fc.nat(400)).map(([startUs, lengthUs]) => ({ startUs, lengthUs }));

test('labels in sight are those that a plain look at all of them finds, in their order', () => {
  fc.assert(
    fc.property(fc.array(span, { maxLength: 40 }), fc.nat(1400), fc.nat(600), (spans, startUs, lengthUs) => {
      const items = spans
        .sort((a, b) => a.startUs - b.startUs)
        .map(
          ({ startUs: from, lengthUs: long }) =>
            ({ label: { startUs: from, endUs: from + long } }) as LabelItem,
        );
      const window = { startUs, endUs: startUs + lengthUs };
      const plain = items.filter(({ label }) => label.endUs >= startUs && label.startUs <= window.endUs);
      expect(itemsInSight(items, window)).toEqual(plain);
      // Kept between calls of the same list.
      expect(itemsInSight(items, window)).toEqual(plain);
    }),
  );
});
