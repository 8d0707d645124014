/** The values of some rows, or all as they are where `rows` is null. */
export function pick(values: Float64Array, rows: Int32Array | null): Float64Array {
  if (rows === null) return values;
  const picked = new Float64Array(rows.length);
  for (let i = 0; i < rows.length; ++i) picked[i] = values[rows[i]!]!;
  return picked;
}
