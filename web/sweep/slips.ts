import type { PressVerdict } from '../../server/engine/detect/presses.ts';
import { explainSlip } from '../../server/engine/explain/causes.ts';
import { dipPicture } from '../../server/engine/explain/dip.ts';
import { intentOf, type Labels } from '../../server/engine/labels/labels.ts';
import type { Slip } from './jobs.ts';

/** The verdicts on presses that are labelled stray. */
export function straysOf(verdicts: readonly PressVerdict[], labels: Labels): PressVerdict[] {
  return verdicts.filter(({ press }) => intentOf(labels, press)?.intent === 'stray');
}

/** Those of a take's stray presses that were let through, and why; `run` is what one guard made of the take. */
export function slipsOf(
  { id: takeId, title }: { readonly id: string; readonly title: string },
  strays: readonly PressVerdict[],
  run: Omit<Parameters<typeof explainSlip>[0], 'verdict'>,
): Slip[] {
  return strays.flatMap((verdict) => {
    const explanation = explainSlip({ ...run, verdict });
    const picture = dipPicture(run.signals, verdict);
    return explanation ? [{ takeId, title, downUs: verdict.press.downUs, explanation, picture }] : [];
  });
}
