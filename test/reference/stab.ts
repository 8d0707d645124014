import type { StabSettings } from '../../server/engine/candidate.ts';

/** Indices of fires: list all sustained thrust samples with their run; each impact looks for one that is not used up. */
export function referenceStab(
  samples: readonly { readonly thrustG: number; readonly speedDps: number; readonly isImpact: boolean }[],
  settings: StabSettings,
  sustainSamples: number,
  windowSamples: number,
): number[] {
  const thrusts = samples.map((s) => s.thrustG >= settings.thrustG && s.speedDps <= settings.quietDps);
  const sustained: { n: number; runStart: number; isUsed: boolean }[] = [];
  thrusts.forEach((isThrust, n) => {
    if (!isThrust) return;
    let runStart = n;
    while (runStart > 0 && thrusts[runStart - 1]) --runStart;
    if (n - runStart >= sustainSamples) sustained.push({ n, runStart, isUsed: false });
  });
  const fires: number[] = [];
  samples.forEach((sample, n) => {
    if (!sample.isImpact) return;
    const free = sustained.filter((s) => !s.isUsed && s.n <= n && n - s.n <= windowSamples);
    if (free.length === 0) return;
    fires.push(n);
    const runNow = sustained.find((s) => s.n === n)?.runStart;
    for (const s of sustained) if (s.n <= n || s.runStart === runNow) s.isUsed = true;
  });
  return fires;
}
