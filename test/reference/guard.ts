import type { GuardSettings } from '../../server/engine/detect/guard.ts';

/** Closed or open, sample by sample, straight from the definition: for every sample look back for the last high one. */
export function referenceGuard(
  speedDps: readonly number[],
  settings: GuardSettings,
  holdSamples: number,
): boolean[] {
  const isHigh = (n: number): boolean => {
    for (let i = n; i >= 0; --i) {
      if (speedDps[i]! >= settings.speedDps) return true;
      if (!(speedDps[i]! >= settings.releaseRatio * settings.speedDps)) return false;
    }
    return false;
  };
  return speedDps.map((_, n) => {
    let n0 = n;
    while (n0 >= 0 && !isHigh(n0)) --n0;
    return n0 >= 0 && n - n0 < Math.max(1, holdSamples);
  });
}
