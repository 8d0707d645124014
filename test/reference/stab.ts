import type { StabSettings } from '../../server/engine/detect/stab.ts';

/** Lengths of a stab's settings in samples. */
export interface StabSamples {
  readonly sustain: number;
  readonly quietBefore: number;
  readonly window: number;
}

/** Indices of fires: list all sustained thrust samples with their run; each impact looks for one that is not used up. */
export function referenceStab(
  samples: readonly { readonly thrustG: number; readonly speedDps: number; readonly isImpact: boolean }[],
  settings: StabSettings,
  lengths: StabSamples,
): number[] {
  const isQuiet = samples.map((s) => s.speedDps <= settings.quietDps);
  const thrusts = samples.map((s, n) => s.thrustG >= settings.thrustG && isQuiet[n]!);
  const sustained: { n: number; runStart: number; isUsed: boolean }[] = [];
  thrusts.forEach((isThrust, n) => {
    if (!isThrust) return;
    let runStart = n;
    while (runStart > 0 && thrusts[runStart - 1]) --runStart;
    const from = runStart - lengths.quietBefore;
    if (from < 0 || isQuiet.slice(from, runStart).includes(false)) return;
    if (n - runStart >= lengths.sustain) sustained.push({ n, runStart, isUsed: false });
  });
  const staysSlow = (from: number, to: number) =>
    !samples.slice(from, to + 1).some((s) => s.speedDps > settings.untilHitDps);
  const fires: number[] = [];
  samples.forEach((sample, n) => {
    if (!sample.isImpact) return;
    const free = sustained.filter(
      (s) => !s.isUsed && s.n <= n && n - s.n <= lengths.window && staysSlow(s.n, n),
    );
    if (free.length === 0) return;
    fires.push(n);
    const runNow = sustained.find((s) => s.n === n)?.runStart;
    for (const s of sustained) if (s.n <= n || s.runStart === runNow) s.isUsed = true;
  });
  return fires;
}
