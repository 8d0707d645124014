import { nominalStep } from '../ground/steps.ts';

/**
 * Where counters start anew, in units of the counter: common widths in bits, microseconds shown as ms or s, midnight,
 * the full hour where hours are left out, and the part of a second that stands in a column of its own.
 */
const MODULI = [
  1e9,
  1e6,
  1e3,
  2 ** 8,
  2 ** 10,
  2 ** 12,
  2 ** 16,
  2 ** 24,
  2 ** 32,
  2 ** 32 / 1e3,
  2 ** 32 / 1e6,
  3600e6,
  86_400,
  86_400e3,
  86_400e6,
] as const;
/** After a wrap the counter must go on within this many nominal steps. */
const STEPS_ACROSS = 50;

/**
 * Adds the modulus back wherever the counter falls by almost a whole one and goes on within a few steps: at 2^32 us,
 * 4294967290 then 5 are 11 us apart. Changes the array; says how often and at which modulus (0 for none).
 * @param clock  counts from its first stamp
 * @param base  the first stamp
 */
export function unwrapCounter(clock: Float64Array, base: number): { wraps: number; modulus: number } {
  const step = nominalStep(clock);
  let wraps = 0;
  let modulus = 0;
  let shift = 0;
  let previous = clock[0] ?? 0;
  for (let i = 1; i < clock.length; ++i) {
    const raw = clock[i]!;
    const fall = raw - previous;
    if (fall < 0) {
      const found = modulusOf(previous + base, raw + base, step);
      if (found !== null) {
        shift += found;
        ++wraps;
        modulus = found;
      }
    }
    previous = raw;
    clock[i] = raw + shift;
  }
  return { wraps, modulus };
}

/** The modulus at whose top `before` stands and at whose bottom `after` stands; signed counters turn at half of it. */
function modulusOf(before: number, after: number, step: number): number | null {
  for (const modulus of MODULI) {
    const reach = Math.min(STEPS_ACROSS * step, modulus / 4);
    const bottom = after < 0 ? -modulus / 2 : 0;
    const top = bottom + modulus;
    const isAcross = after - bottom <= reach && top - before <= reach && before <= top && after >= bottom;
    if (isAcross && modulus > 8 * step) return modulus;
  }
  return null;
}
