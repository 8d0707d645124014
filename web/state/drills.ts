import { computed } from '@preact/signals';
import { type DrillPlan, planDrills } from '../../server/engine/plan/drillPlan.ts';
import type { ComparedTake } from '../compare/comparison.ts';
import { comparedTakes } from './comparing.ts';
import { standingOf, whyLeftOut } from './fitness.ts';
import { workspace } from './workspace.ts';

interface PlanSoFar {
  readonly plan: DrillPlan;
  /** Whether every take has been judged and counted. */
  readonly isWhole: boolean;
}

/** The drills that are still to record, by what of the takes has been counted so far: `followComparison('stock')`. */
export const drillPlan = computed<PlanSoFar>(() => {
  const known = workspace.value?.takes ?? [];
  const takes = comparedTakes.value;
  const out = new Map(known.map((take) => [take.id, whyLeftOut(take)]));
  const areJudged = known.every((take) => standingOf(take).kind !== 'pending');
  return {
    plan: planDrills(takes.flatMap((take) => plannedOf(take, out.get(take.id) ?? null))),
    isWhole: areJudged && takes.every((take) => take.stock !== null || take.problem !== null),
  };
});

function plannedOf({ performer, facts, stock }: ComparedTake, unfit: unknown) {
  return facts && stock ? [{ performer, stock, isFit: unfit === null && facts.swingless === null }] : [];
}
