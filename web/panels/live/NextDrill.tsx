import type { DrillItem } from '../../../server/engine/plan/drillPlan.ts';
import { DRILL_WORDS, drillAmount } from '../../../server/engine/words/plan.ts';
import type { LiveTrack } from '../../live/liveTrack.ts';
import { drillPlan, planWith } from '../../state/drills.ts';
import { liveStock } from '../../state/liveStock.ts';

/** What needs no label. */
const AT_ONCE: readonly DrillItem['id'][] = ['still', 'carry', 'spin', 'swings'];

/** The plan says of these only whose they are. */
const SAID_OF: Partial<Record<DrillItem['id'], DrillItem['id']>> = {
  ownStrays: 'strays',
  ownWanted: 'wanted',
};

/** Every take begins with so much rest: the gyro's bias is found there. */
const REST_S = 2;

interface NextDrillProps {
  /** Whose drills come first; null for anybody's. */
  readonly performer: string | null;
  /** Of the recording that goes on. */
  readonly track?: LiveTrack | null;
}

/** What to do now, in type that is read from three metres away: rest first, then the plan's next drill. */
export function NextDrill({ performer, track = null }: NextDrillProps) {
  if (track !== null && track.longestRestS < REST_S)
    return <Rest leftS={REST_S - track.restS} isResting={track.restS > 0} />;
  const stock = track === null ? null : liveStock.value;
  const { plan: before, isWhole } = drillPlan.value;
  const { items } = planWith(performer, stock);
  const open = items.filter(({ status }) => status === 'missing');
  const item = open.find((one) => one.performer === performer) ?? open[0];
  const wasDone = (one: DrillItem): boolean =>
    before.items.some(
      ({ id, performer: whose, status }) => id === one.id && whose === one.performer && status === 'done',
    );
  const ticked = items.filter((one) => one.status === 'done' && !wasDone(one));
  if (!item) return isWhole ? <p class="live-next">Every drill is ticked off.</p> : null;
  return (
    <>
      <Drill item={item} done={items.filter(({ status }) => status === 'done').length} />
      {ticked.length > 0 && (
        <p data-ticked={ticked.map(({ id }) => id).join(' ')}>
          ✓ Ticked off by this recording: {ticked.map(({ id }) => DRILL_WORDS[id].name).join(', ')}.
        </p>
      )}
    </>
  );
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
  const { name } = DRILL_WORDS[id];
  const { how } = DRILL_WORDS[SAID_OF[id] ?? id];
  const counts = AT_ONCE.includes(id)
    ? 'It is counted as you record.'
    : 'It counts once its labels are confirmed.';
  return (
    <div class="live-next" data-next={id}>
      <p>
        {name}: {drillAmount(id, need - have)} more
      </p>
      <p class="live-how">{how}</p>
      <p class="quiet">
        The plan’s next drill{performer ? ` for ${performer}` : ''}; {done} {done === 1 ? 'is' : 'are'} ticked
        off. {counts}
      </p>
    </div>
  );
}
