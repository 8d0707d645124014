/** The largest sample rate that a user may state, Hz. */
export const STATED_RATE_HZ_AT_MOST = 100_000;

/** The smallest one: slower readings tell of no swing. */
export const STATED_RATE_HZ_AT_LEAST = 0.1;

/** Whether a user may state this sample rate. */
export function isStatedRate(rateHz: number): boolean {
  return rateHz >= STATED_RATE_HZ_AT_LEAST && rateHz <= STATED_RATE_HZ_AT_MOST;
}
