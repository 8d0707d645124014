import { poissonInterval } from '../../../server/engine/statistics/poisson.ts';

/** How often outside what should fire, and how often a minute that may be. */
export function outsideWords(
  outside: number,
  evidence: readonly { readonly outsideS: number; readonly unfit: string | null }[],
): { value: string; note: string } {
  const seconds = evidence.reduce((sum, take) => sum + (take.unfit === null ? take.outsideS : 0), 0);
  if (seconds < 1) return { value: `${outside}`, note: 'hardly any time outside to judge by' };
  const { low, high } = poissonInterval(outside);
  const aMinute = (count: number) => ((count * 60) / seconds).toFixed(1);
  return {
    value: `${outside} in ${seconds.toFixed(0)} s`,
    note: `at least 95 %: ${aMinute(low)}–${aMinute(high)} a minute`,
  };
}
