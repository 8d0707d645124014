import type { GuardSettings } from '../detect/guard.ts';
import { runGuard } from '../detect/guard.ts';
import { judgePresses, type PressVerdict } from '../detect/presses.ts';
import { intentOf } from '../labels/labels.ts';
import type { RateMotion } from '../motion/motion.ts';
import { sumGuardSweeps } from '../sweep/guardSweep.ts';
import { errorsFirst, LEAST_SPEED_DPS } from './cost.ts';
import { areContradictory, LEAST_EVENTS } from './decline.ts';
import { evidenceOf, type TakeEvidence } from './evidence.ts';
import type { Judged, Problem, WrongEvent } from './problem.ts';
import { RATE_STRESSES, signalsUnder } from './stressRates.ts';
import { type ChoiceTake, GUARD_AXES, type GuardGrid, type GuardPart, sweepTake } from './takeSweep.ts';

/** A take with the rates that its speed comes from. */
export type RatedTake = ChoiceTake & { readonly motion: RateMotion };

/** The guard's speed and hold, by presses that are labelled wanted or stray. */
export const GUARD: Problem<GuardPart, GuardGrid, GuardSettings, RatedTake, TakeEvidence, PressVerdict> = {
  kind: 'guard',
  group: 'guard',
  x: { field: 'speedDps', values: GUARD_AXES.xs, step: 1, least: LEAST_SPEED_DPS },
  y: { field: 'holdMs', values: GUARD_AXES.ys, step: 1 },
  sizeOf: { strays: 'strays', wanted: 'wanted', reversals: 'reversals', quietS: 'quietS' },
  errors: [['strays'], ['wanted']],
  steps: ['reversals', 'quietS'],
  heldOut: ['strays', 'wanted', 'reversals'],
  needs: ['strays', 'wanted'],
  better: 'lowest',
  cost: (grid) => errorsFirst(GUARD, grid),
  sum: sumGuardSweeps,
  stresses: RATE_STRESSES,
  at: (base, speedDps, holdMs) => ({ ...base, speedDps, holdMs }),
  evidence: evidenceOf,
  sweep: (take, base, _evidence, axes) => sweepTake(take, base, axes),
  rank: ({ unfit }) => (unfit === null ? 0 : null),
  decline({ strays = 0, wanted = 0, unlabelled = 0 }, fit) {
    if (strays + wanted === 0) return unlabelled > 0 ? 'noLabels' : 'noPresses';
    if (areContradictory(fit)) return 'contradictory';
    if (strays === 0 || wanted === 0) return 'oneClass';
    return Math.min(strays, wanted) < LEAST_EVENTS ? 'tooFew' : null;
  },
  judge: (take, base, signals) =>
    judgedPresses(take, base, signals).map(({ verdict: { press, accepted }, intent }): Judged<GuardPart> => {
      const isWrong = accepted === (intent === 'strays');
      return {
        what: 'unit',
        atUs: press.downUs,
        wrong: accepted === null ? undefined : isWrong ? intent : null,
      };
    }),
  explain(take, base, wrong: readonly WrongEvent<GuardPart>[]) {
    const judged = judgedPresses(take, base, take.signals);
    return wrong.map(
      ({ atUs }) => judged.find(({ verdict }) => verdict.press.downUs === atUs)?.verdict ?? null,
    );
  },
  under: signalsUnder,
};

/** The verdicts on presses that are labelled wanted or stray. */
function judgedPresses(
  { presses, labels }: Pick<ChoiceTake, 'presses' | 'labels'>,
  base: GuardSettings,
  signals: ChoiceTake['signals'],
) {
  return judgePresses(signals, runGuard(signals, base), presses, base).flatMap((verdict) => {
    const label = intentOf(labels, verdict.press)?.intent;
    if (label !== 'wanted' && label !== 'stray') return [];
    return [{ verdict, intent: label === 'stray' ? ('strays' as const) : ('wanted' as const) }];
  });
}
