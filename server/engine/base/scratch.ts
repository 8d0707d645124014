/**
 * Columns that are reused by name: touching fresh memory takes several times as long as computing in it. The values
 * under a name are lost when the name is asked for again.
 */
export class Scratch {
  private readonly columns = new Map<string, Float64Array>();

  /** A column whose values are undefined. */
  column(name: string, length: number): Float64Array {
    let column = this.columns.get(name);
    if (column === undefined || column.length < length) {
      column = new Float64Array(length);
      this.columns.set(name, column);
    }
    return column.length === length ? column : column.subarray(0, length);
  }

  /** The values, copied if they lie in one of these columns, so that they are not overwritten. */
  own(values: Float64Array): Float64Array {
    for (const { buffer } of this.columns.values()) if (buffer === values.buffer) return values.slice();
    return values;
  }
}
