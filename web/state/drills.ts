import { computed } from '@preact/signals';
import { type DrillPlan, type PlannedTake, planDrills } from '../../server/engine/plan/drillPlan.ts';
import type { TakeStock } from '../../server/engine/plan/takeStock.ts';
import type { ComparedTake } from '../compare/comparison.ts';
import { comparedTakes } from './comparing.ts';
import { standingOf, whyLeftOut } from './fitness.ts';
import { workspace } from './workspace.ts';

interface PlanSoFar {
  readonly plan: DrillPlan;
  /** Whether every take has been judged and counted. */
  readonly isWhole: boolean;
}

const plannedTakes = computed<readonly PlannedTake[]>(() => {
  const out = new Map((workspace.value?.takes ?? []).map((take) => [take.id, whyLeftOut(take)]));
  return comparedTakes.value.flatMap((take) => plannedOf(take, out.get(take.id) ?? null));
});

/** The drills that are still to record, by what of the takes has been counted so far: `followComparison('stock')`. */
export const drillPlan = computed<PlanSoFar>(() => {
  const known = workspace.value?.takes ?? [];
  const takes = comparedTakes.value;
  const areJudged = known.every((take) => standingOf(take).kind !== 'pending');
  return {
    plan: planDrills(plannedTakes.value),
    isWhole: areJudged && takes.every((take) => take.stock !== null || take.problem !== null),
  };
});

/** The plan as it will be once a recording is a take; the same plan where nothing is being recorded. */
export function planWith(performer: string | null, stock: TakeStock | null): DrillPlan {
  if (performer === null || stock === null) return drillPlan.value.plan;
  // As with a take: one without a swing counts for nothing.
  const isFit = stock.singleSwings + stock.reversals > 0;
  return planDrills([...plannedTakes.value, { performer, stock, isFit }]);
}

function plannedOf({ performer, facts, stock }: ComparedTake, unfit: unknown) {
  return facts && stock ? [{ performer, stock, isFit: unfit === null && facts.swingless === null }] : [];
}
