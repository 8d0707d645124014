import type { ImpactSettings } from '../../server/engine/detect/impact.ts';

/** Indices of fires: first all onsets, then those that the rest time lets through. */
export function referenceImpact(
  impactG: readonly number[],
  speedDps: readonly number[],
  settings: ImpactSettings,
  restSamples: number,
): number[] {
  const levelG = speedDps.map((v) => settings.impactG + (settings.allowanceGPer100Dps / 100) * v);
  const onsets: number[] = [];
  for (let n = 0; n < impactG.length; ++n) {
    const last = onsets.at(-1);
    const hasRearmed =
      last === undefined || impactG.slice(last + 1, n).some((g, k) => g < levelG[last + 1 + k]!);
    if (impactG[n]! >= levelG[n]! && hasRearmed) onsets.push(n);
  }
  const fires: number[] = [];
  for (const n of onsets) if (fires.length === 0 || n - fires.at(-1)! >= restSamples) fires.push(n);
  return fires;
}
