/**
 * How much of something a test does: little by default, as much as `npm run soak` says where it runs for long.
 * @param name  of a variable of the environment, without its prefix
 */
export function soakNumber(name: string, usual: number): number {
  const text = process.env[`SOAK_${name}`];
  if (text === undefined) return usual;
  const value = Number(text);
  if (!(Number.isInteger(value) && value > 0))
    throw new RangeError(`SOAK_${name} must be a whole number, got ${text}`);
  return value;
}
