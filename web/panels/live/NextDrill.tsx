import type { DrillItem } from '../../../server/engine/plan/drillPlan.ts';
import { DRILL_WORDS, drillAmount } from '../../../server/engine/words/plan.ts';
import { drillPlan } from '../../state/drills.ts';

/** Every take begins with so much rest: the gyro's bias is found there. */
const REST_S = 2;

interface NextDrillProps {
  /** Whose drills come first; null for anybody's. */
  readonly performer: string | null;
  /** The longest rest of the recording so far; null or missing where nothing is being recorded. */
  readonly restS?: number | null;
  readonly isResting?: boolean;
}

/** What to do now, in type that is read from three metres away: rest first, then the plan's next drill. */
export function NextDrill({ performer, restS = null, isResting = false }: NextDrillProps) {
  if (restS !== null && restS < REST_S) return <Rest leftS={REST_S - restS} isResting={isResting} />;
  const { plan, isWhole } = drillPlan.value;
  const open = plan.items.filter(({ status }) => status === 'missing');
  const item = open.find((one) => one.performer === performer) ?? open[0];
  if (!item) return isWhole ? <p class="live-next">Every drill is ticked off.</p> : null;
  return <Drill item={item} done={plan.items.filter(({ status }) => status === 'done').length} />;
}

function Rest({ leftS, isResting }: { readonly leftS: number; readonly isResting: boolean }) {
  return (
    <p class="live-next" data-next="rest">
      {isResting ? `Keep still: ${Math.ceil(leftS)}` : 'Lay the prop on a table'}
    </p>
  );
}

function Drill({ item, done }: { readonly item: DrillItem; readonly done: number }) {
  const { id, have, need, performer } = item;
  const { name, how } = DRILL_WORDS[id];
  return (
    <div class="live-next" data-next={id}>
      <p>
        {name}
        {performer ? ` (${performer})` : ''}: {drillAmount(id, need - have)} more
      </p>
      <p class="live-how">{how}</p>
      <p class="quiet">
        The plan’s next drill; {done} {done === 1 ? 'is' : 'are'} ticked off. What you record now counts once
        you stop and its labels are confirmed.
      </p>
    </div>
  );
}
