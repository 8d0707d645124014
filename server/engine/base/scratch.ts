/**
 * Columns that are used again and again by their names: touching fresh memory costs several times what is computed in
 * it. What a name holds is gone once the name is asked for again.
 */
export class Scratch {
  private readonly columns = new Map<string, Float64Array>();

  /** A column with anything in it. */
  column(name: string, length: number): Float64Array {
    let column = this.columns.get(name);
    if (column === undefined || column.length < length) {
      column = new Float64Array(length);
      this.columns.set(name, column);
    }
    return column.length === length ? column : column.subarray(0, length);
  }

  /** The values in a column that will not be overwritten: a copy, if they lie in one of these. */
  own(values: Float64Array): Float64Array {
    for (const { buffer } of this.columns.values()) if (buffer === values.buffer) return values.slice();
    return values;
  }
}
