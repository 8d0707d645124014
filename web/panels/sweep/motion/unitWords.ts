import type { UnitCount } from '../../../../server/engine/choose/motion/motionScore.ts';

/** k of n spins or stops, with the exact interval: it holds in at least 95 of 100. */
export function unitWords({ k, n, interval }: UnitCount): { value: string; note: string } {
  const percent = (share: number) => (share * 100).toFixed(0);
  return {
    value: `${k} / ${n}`,
    note: interval ? `at least 95 %: ${percent(interval.low)}–${percent(interval.high)} %` : '',
  };
}
