/** One row of a table: a figure at each size, null where it could not be measured. */
export interface Row {
  readonly name: string;
  readonly values: readonly (number | null)[];
  readonly unit: 's' | 'ms' | 'MB' | '';
}

/**
 * The exponent b of y = a·x^b that fits best in logarithms (least squares), so that 1 is as the size grows and 0 not at all;
 * null of fewer than two points.
 */
export function slopeOf(sizes: readonly number[], values: readonly (number | null)[]): number | null {
  const points = sizes.flatMap((size, i) => {
    const value = values[i];
    return value != null && value > 0 ? [[Math.log(size), Math.log(value)] as const] : [];
  });
  if (points.length < 2) return null;
  const mean = (of: 0 | 1) => points.reduce((sum, point) => sum + point[of], 0) / points.length;
  const [x, y] = [mean(0), mean(1)];
  const across = points.reduce((sum, point) => sum + (point[0] - x) * (point[1] - y), 0);
  return across / points.reduce((sum, point) => sum + (point[0] - x) ** 2, 0);
}

/** Lines of a table in Markdown, a slope at the end of each row. */
export function tableLines(
  heads: readonly string[],
  sizes: readonly number[],
  rows: readonly Row[],
  loads: readonly string[],
): string[] {
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [
    line(['', ...heads, 'slope']),
    line(Array.from({ length: heads.length + 2 }, () => '---')),
    ...rows.map(({ name, values, unit }) =>
      line([name, ...values.map((value) => shownAs(value, unit)), slopeOf(sizes, values)?.toFixed(2) ?? '–']),
    ),
    line(['load', ...loads, '']),
  ];
}

function shownAs(value: number | null, unit: Row['unit']): string {
  if (value === null || Number.isNaN(value)) return '–';
  const shown = unit === 's' ? value / 1000 : value;
  const digits = shown >= 100 ? 0 : shown >= 10 ? 1 : 2;
  return `${shown.toFixed(unit === 'MB' ? 0 : digits)}${unit === '' ? '' : ` ${unit}`}`;
}
