import { describe, expect, test } from 'vitest';
import { NormalEquations } from '../../../server/engine/statistics/normalEquations.ts';
import { solveRows } from '../../reference/solveRows.ts';
import { seededNormal } from '../../seeded.ts';

const normal = seededNormal(4);
const rows = Array.from({ length: 40 }, () => Array.from({ length: 4 }, () => normal()));
const y = rows.map((row) => 2 * row[0]! - row[1]! + 0.5 * row[3]! + 0.1 * normal());

function sumsOf(from: number, to: number): NormalEquations {
  const sums = new NormalEquations(4);
  for (let i = from; i < to; ++i) sums.add(rows[i]!, y[i]!);
  return sums;
}

const ridge = [0.1, 0.2, 0, 3];

describe('least squares by sums', () => {
  test('solve (XᵀX + ridge) p = Xᵀy as an elimination with pivots does', () => {
    const system = [0, 1, 2, 3].map((r) => [
      ...[0, 1, 2, 3].map(
        (c) => rows.reduce((sum, row) => sum + row[r]! * row[c]!, 0) + (r === c ? ridge[r]! : 0),
      ),
      rows.reduce((sum, row, i) => sum + row[r]! * y[i]!, 0),
    ]);
    const expected = solveRows(system);
    sumsOf(0, 40)
      .solve(ridge)!
      .forEach((p, k) => {
        expect(p).toBeCloseTo(expected[k]!, 12);
      });
  });

  test('the squared error is that of the equations one by one', () => {
    const p = [1, -2, 3, 0.25];
    const direct = rows.reduce(
      (sum, row, i) => sum + (y[i]! - row.reduce((dot, x, k) => dot + x * p[k]!, 0)) ** 2,
      0,
    );
    expect(sumsOf(0, 40).squaredError(p)).toBeCloseTo(direct, 9);
  });

  test('a block taken out again leaves what was before', () => {
    const all = sumsOf(0, 40);
    all.addBlock(sumsOf(25, 40), -1);
    const part = sumsOf(0, 25);
    expect(all.count).toBe(25);
    all.solve(ridge)!.forEach((p, k) => {
      expect(p).toBeCloseTo(part.solve(ridge)![k]!, 10);
    });
  });

  test('what nothing determines has no solution, and one with a ridge', () => {
    const sums = new NormalEquations(2);
    sums.add([1, 0], 3);
    expect(sums.solve([0, 0])).toBeNull();
    expect(Array.from(sums.solve([0, 1])!)).toEqual([3, 0]);
    expect(new NormalEquations(3).inverse([0, 0, 0])).toBeNull();
  });

  test('a NaN gives no solution rather than a wrong one', () => {
    const sums = sumsOf(0, 10);
    sums.add([Number.NaN, 0, 0, 0], 1);
    expect(sums.solve(ridge)).toBeNull();
  });
});
