import { type Bounds, isWithin } from '../engine/base/statedBounds.ts';
import { UsageError } from './io.ts';

/** The number that an option states. @throws UsageError  naming the bounds, unless it is one within them */
export function readStated(option: string, text: string, bounds: Bounds): number {
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (isWithin(value, bounds)) return value;
  const { min, max, unit } = bounds;
  const end = unit === '' ? max : `${max} ${unit}`;
  throw new UsageError(`${option} must be a number from ${min} to ${end}, got "${text}"`);
}
