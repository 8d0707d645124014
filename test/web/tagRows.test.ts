import { expect, test } from 'vitest';
import { tagRows } from '../../web/panels/compare/tagRows.ts';
import { fc } from '../engine/properties.ts';

test('no threshold’s line runs down through the name of another on the same side, however close they lie', () => {
  const speeds = fc.array(fc.integer({ min: 10, max: 1000 }), { maxLength: 4 });
  fc.assert(
    fc.property(speeds, (all) => {
      const rows = tagRows(
        all.map((speedDps) => ({ speedDps })),
        800,
      );
      expect(rows.map(({ line }) => line.speedDps).sort()).toEqual([...all].sort());
      rows.forEach(({ line, isRight }, row) => {
        expect(isRight).toBe(line.speedDps < 800);
        // A line that starts above and lies on the name's side would cross it.
        for (const above of rows.slice(0, row).filter((other) => other.isRight === isRight)) {
          if (isRight) expect(above.line.speedDps).toBeLessThanOrEqual(line.speedDps);
          else expect(above.line.speedDps).toBeGreaterThanOrEqual(line.speedDps);
        }
      });
    }),
  );
});

test('a name on the left stands above the lines that it reaches over', () => {
  const rows = tagRows([{ speedDps: 780 }, { speedDps: 810 }], 800);
  expect(rows.map(({ line }) => line.speedDps)).toEqual([810, 780]);
});
