/** The largest sample rate that a user may state, Hz. */
export const STATED_RATE_HZ_AT_MOST = 100_000;

/** Whether a user may state this sample rate. */
export function isStatedRate(rateHz: number): boolean {
  return rateHz > 0 && rateHz <= STATED_RATE_HZ_AT_MOST;
}
