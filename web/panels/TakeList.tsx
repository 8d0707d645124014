import { unfitText } from '../../server/engine/words/choose/unfit.ts';
import { counted } from '../../server/engine/words/count.ts';
import type { TakeSummary } from '../../server/http/schemas.ts';
import { formatClock } from '../charts/stave.ts';
import { standingOf } from '../state/fitness.ts';
import { removeTakes } from '../state/removing.ts';
import { goToTake } from '../state/session.ts';
import { ownSetting } from '../state/settingChanges.ts';
import { chosenTakeId } from '../state/store.ts';
import { tallies } from '../state/tallies.ts';
import { workspace } from '../state/workspace.ts';
import { NearSight } from './NearSight.tsx';
import { RemovedList } from './RemovedList.tsx';
import { moveFocus } from './roving.ts';
import { shareIsOpen } from './share/ShareDialog.tsx';
import { StateMark } from './signal/StateMark.tsx';

/** Rows that are rendered together. */
const CHUNK = 30;

/** The takes of the workspace, by performer, each with how its performer's setting, or else candidate A, fares on it. */
export function TakeList() {
  const takes = workspace.value?.takes;
  if (!takes) return <p class="quiet pad">Reading the workspace…</p>;
  const groups = byPerformer(takes);
  const ends = [groups[0]?.[1][0], groups.at(-1)?.[1].at(-1)];
  return (
    <nav aria-label="Takes">
      {takes.length > 0 && (
        <p class="quiet judged-by">
          Presses judged by {takes.some(ownSetting) ? 'kept settings, else A' : 'A'}
        </p>
      )}
      {groups.map(([performer, group]) => (
        <section key={performer}>
          <h2>{performer || 'No performer named'}</h2>
          {chunksOf(group).map((chunk) => (
            <TakeRows key={chunk[0]!.id} takes={chunk} ends={ends} />
          ))}
        </section>
      ))}
      {takes.some((take) => take.isDemo) && (
        <p class="quiet demo-note">
          Synthetic demo takes: a parade’s blade corps.{' '}
          <button
            type="button"
            class="small"
            onClick={() => void removeTakes(demoIds(takes), 'the demo takes')}
          >
            Remove them
          </button>
        </p>
      )}
      {takes.length > 0 && (
        <p class="share-takes">
          <button type="button" class="small" onClick={() => (shareIsOpen.value = true)}>
            Share takes…
          </button>
        </p>
      )}
      <RemovedList />
      {takes.length === 0 && (
        <p class="quiet pad">
          No takes yet. Drop a log of your prop (CSV) anywhere on this page, or use “Add recordings”.
        </p>
      )}
    </nav>
  );
}

/** Of a season only what is near sight is rendered, what is open, and both ends of the list, where the keys Home and End lead. */
function TakeRows(props: {
  readonly takes: readonly TakeSummary[];
  readonly ends: readonly (TakeSummary | undefined)[];
}) {
  const { takes, ends } = props;
  const isKept = takes.some((take) => take.id === chosenTakeId.value || ends.includes(take));
  const rows = () => takes.map((take) => <TakeRow key={take.id} take={take} />);
  return <NearSight rows={takes.length} isKept={isKept} within=".side" render={rows} />;
}

function chunksOf(takes: readonly TakeSummary[]): TakeSummary[][] {
  const count = Math.ceil(takes.length / CHUNK);
  return Array.from({ length: count }, (_, i) => takes.slice(i * CHUNK, (i + 1) * CHUNK));
}

function demoIds(takes: readonly TakeSummary[]): string[] {
  return takes.filter((take) => take.isDemo).map((take) => take.id);
}

function TakeRow({ take }: { readonly take: TakeSummary }) {
  const isOpen = chosenTakeId.value === take.id;
  return (
    <button
      type="button"
      class="take"
      aria-current={isOpen ? 'true' : undefined}
      data-take={take.id}
      tabIndex={isOpen || (chosenTakeId.value === null && workspace.value?.takes[0] === take) ? 0 : -1}
      onKeyDown={(event) => moveFocus(event, '.take')}
      onClick={() => goToTake(take.id)}
    >
      <span class="take-title">{take.title}</span>
      <TallyBadge take={take} />
      <FitnessMark take={take} />
      <span
        class="take-facts"
        title={`${formatClock(take.durationS, 0)} long, ${Number(take.rateHz.toFixed(take.rateHz < 100 ? 1 : 0))} samples a second; presses of the power button`}
      >
        {counted(take.pressCount, 'press', 'presses')}
      </span>
    </button>
  );
}

/** A take whose signals are unfit to choose on, by shape and word. */
function FitnessMark({ take }: { readonly take: TakeSummary }) {
  const standing = standingOf(take);
  if (standing.kind !== 'unfit') return null;
  const { why, isIncluded } = standing;
  return (
    <span
      class="take-unfit"
      data-unfit={isIncluded ? 'included' : 'out'}
      title={`Signals unfit: ${unfitText(why)}. ${isIncluded ? 'Included by hand.' : 'Left out of Sweep, Compare and Plan.'}`}
    >
      <StateMark state="fail" size={12} /> {isIncluded ? 'unfit, included by hand' : 'unfit, left out'}
    </span>
  );
}

/** By the setting of the take's performer, where one is kept, else by candidate A. */
function TallyBadge({ take }: { readonly take: TakeSummary }) {
  const tally = tallies.value.get(take.id);
  const setting = ownSetting(take);
  // What was counted for another setting says nothing of this one.
  if (!tally || tally.settingId !== (setting?.id ?? null)) return <span class="badge" aria-hidden="true" />;
  const { slips, strays, refused, wanted } = tally;
  if (strays + wanted === 0)
    return (
      <span class="badge is-plain" title="No press is labelled wanted or stray">
        {take.pressCount === 0 ? 'no presses' : 'unlabelled'}
      </span>
    );
  const [short, whose] = setting === null ? ['', 'Candidate A'] : ['kept: ', `The setting “${setting.name}”`];
  const [fate, says] =
    slips > 0
      ? [`${slips} through`, `lets ${slips} of ${counted(strays, 'stray press', 'stray presses')} through`]
      : refused > 0
        ? [`${refused} refused`, `refuses ${refused} of ${counted(wanted, 'wanted press', 'wanted presses')}`]
        : ['clear', 'lets no stray press through and refuses no wanted one'];
  return (
    <span class={`badge ${slips + refused > 0 ? 'is-bad' : 'is-good'}`} title={`${whose} ${says}`}>
      {short}
      {fate}
    </span>
  );
}

function byPerformer(takes: readonly TakeSummary[]): [string, TakeSummary[]][] {
  const groups = new Map<string, TakeSummary[]>();
  for (const take of takes) {
    const group = groups.get(take.performer);
    if (group) group.push(take);
    else groups.set(take.performer, [take]);
  }
  return [...groups];
}
