/** The largest sample rate that may be stated of a log, Hz. */
export const STATED_RATE_HZ_AT_MOST = 100_000;

/** Whether a log may be stated to have this sample rate. */
export function isStatedRate(rateHz: number): boolean {
  return rateHz > 0 && rateHz <= STATED_RATE_HZ_AT_MOST;
}
