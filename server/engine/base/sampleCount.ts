/**
 * A setting's duration as a whole number of samples, rounded up; no detector compares fractions of a second. The small
 * allowance keeps 120 ms at 200 Hz at 24 samples, whatever the rounding of the product.
 */
export function samplesFromMs(ms: number, rateHz: number): number {
  return Math.max(0, Math.ceil((ms * rateHz) / 1000 - 1e-9));
}
