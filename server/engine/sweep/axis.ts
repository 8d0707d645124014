/**
 * A sweep's values of one setting, checked.
 * @throws RangeError  unless they are finite numbers in strictly rising order, and there is at least one.
 */
export function checkedAxis(name: string, values: readonly number[]): Float64Array {
  if (values.length === 0) throw new RangeError(`${name} needs at least one value`);
  values.forEach((value, i) => {
    if (!Number.isFinite(value)) throw new RangeError(`${name} must be finite numbers, got ${value}`);
    if (i > 0 && !(value > values[i - 1]!)) {
      throw new RangeError(`${name} must rise, but ${value} follows ${values[i - 1]}`);
    }
  });
  return Float64Array.from(values);
}
