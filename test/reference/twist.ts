import type { TwistSettings } from '../../server/engine/detect/twistTrigger.ts';

/** Indices of fires: for every sample try each earlier one that the window, a loud sample and the last fire leave. */
export function referenceTwistTrigger(
  twistDeg: readonly number[],
  speedDps: readonly number[],
  settings: TwistSettings,
  windowSamples: number,
): number[] {
  const fires: number[] = [];
  for (let n = 0; n < twistDeg.length; ++n) {
    const earliest = Math.max(0, n - windowSamples, fires.at(-1) ?? 0);
    for (let m = n; m >= earliest; --m) {
      if (!(speedDps[m]! <= settings.quietDps) || Number.isNaN(twistDeg[m]!)) break;
      if (Math.abs(twistDeg[n]! - twistDeg[m]!) >= settings.angleDeg) {
        fires.push(n);
        break;
      }
    }
  }
  return fires;
}

/** Position of the dial after every sample, one step of at most one position at a time. */
export function referenceTwistDial(twistDeg: readonly number[], degPerStep: number): number[] {
  const steps: number[] = [];
  let k = 0;
  for (const angleDeg of twistDeg) {
    let emitted = 0;
    for (;;) {
      if (angleDeg >= (k + 1 + emitted) * degPerStep) ++emitted;
      else if (angleDeg <= (k - 1 + emitted) * degPerStep) --emitted;
      else break;
    }
    k += emitted;
    steps.push(emitted);
  }
  return steps;
}
