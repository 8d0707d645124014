import type { DeflectionSettings } from '../../server/engine/detect/deflection.ts';

/** Indices of fires: first all onsets, whatever the rest time says, then those that the rest time lets through. */
export function referenceDeflection(
  speedDps: readonly number[],
  settings: DeflectionSettings,
  restSamples: number,
  confirmSamples: number,
): number[] {
  const isAbove = (n: number) => speedDps[n]! >= settings.speedDps;
  const onsets: number[] = [];
  for (let n = 0; n < speedDps.length; ++n) {
    let nFirst = n;
    while (nFirst >= 0 && isAbove(nFirst)) --nFirst;
    ++nFirst;
    const isConfirmed = isAbove(n) && n - nFirst >= confirmSamples;
    const last = onsets.at(-1);
    const sinceLast = last === undefined ? [] : speedDps.slice(last + 1, n);
    const hasRearmed =
      last === undefined || sinceLast.some((v) => v < settings.rearmRatio * settings.speedDps);
    if (isConfirmed && hasRearmed) onsets.push(n);
  }
  const fires: number[] = [];
  for (const n of onsets) if (fires.length === 0 || n - fires.at(-1)! >= restSamples) fires.push(n);
  return fires;
}
