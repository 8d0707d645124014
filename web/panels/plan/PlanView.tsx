import { useEffect } from 'preact/hooks';
import type { DrillItem, DrillPlan } from '../../../server/engine/plan/drillPlan.ts';
import { isWithoutPresses } from '../../../server/engine/plan/takeStock.ts';
import { unfitText } from '../../../server/engine/words/choose/unfit.ts';
import { DRILL_WORDS, drillAmount, shortcutText } from '../../../server/engine/words/plan.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import { comparedTakes, followComparison } from '../../state/comparing.ts';
import { drillPlan } from '../../state/drills.ts';
import { workspace } from '../../state/workspace.ts';
import { CompareProgress } from '../compare/CompareProgress.tsx';
import { FitnessLine } from '../FitnessLine.tsx';
import { Fold } from '../Fold.tsx';
import { pickFiles } from '../pickFiles.ts';

/** What do I record next? That drill, large; below it those still open, a line each, and behind a fold the others. */
export function PlanView() {
  useEffect(() => followComparison('stock'), []);
  if (!workspace.value) return <p class="empty">Reading the workspace…</p>;
  const takes = comparedTakes.value;
  const { plan, isWhole } = drillPlan.value;
  const performers = [...new Set(plan.items.flatMap(({ performer }) => performer ?? []))];
  return (
    <div class="plan">
      <header class="compare-head">
        <div>
          <h2>Drill plan</h2>
          <p data-plan={isWhole ? 'whole' : 'partial'}>{summaryOf(plan, takes.length, isWhole)}</p>
        </div>
        <CompareProgress what="counted" />
      </header>
      <Next plan={plan} isWhole={isWhole} />
      <FitnessLine takes={workspace.value.takes} />
      <Notes takes={takes} />
      <Drills
        name="For this prop, by anyone"
        items={plan.items.filter(({ performer }) => performer === null)}
      />
      {performers.map((performer) => (
        <Drills
          key={performer}
          name={performer || 'No performer named'}
          items={plan.items.filter((item) => item.performer === performer)}
        />
      ))}
      <p class="quiet">
        Swing only in clear space, with eye protection where people are close.{' '}
        <button type="button" class="small" onClick={pickFiles}>
          Add recordings
        </button>
      </p>
    </div>
  );
}

function summaryOf({ items, missing }: DrillPlan, takes: number, isWhole: boolean): string {
  if (takes === 0) return 'Nothing is recorded yet. This is what to record, and how much of each.';
  const asked = items.filter(({ status }) => status !== 'optional').length;
  const so = isWhole ? '' : ' so far';
  if (missing === 0) return `All ${asked} drills are ticked off${so}: the takes at hand hold what it needs.`;
  return `${asked - missing} of ${asked} drills are ticked off${so}.`;
}

function Notes({ takes }: { readonly takes: readonly ComparedTake[] }) {
  const unread = takes.filter((take) => take.problem !== null);
  const byProgram = takes.reduce((sum, take) => sum + (take.stock?.pressesByProgram ?? 0), 0);
  const synthetic = workspace.value?.takes.filter(({ isDemo }) => isDemo).length ?? 0;
  const sentences = [
    ...(synthetic > 0
      ? [`Synthetic takes among these (${synthetic} of ${takes.length}) prove nothing of your prop.`]
      : []),
    ...takes.flatMap(({ title, facts }) =>
      facts?.swingless ? [`${title} counts for nothing: ${unfitText(facts.swingless)}.`] : [],
    ),
    ...unread.map(({ title, problem }) => `${title} could not be read: ${problem}`),
    ...takes.flatMap(({ title, facts }) => (facts?.doubts ?? []).map((text) => `${title}: ${text}.`)),
    ...(byProgram > 0
      ? [`${byProgram} of the press labels are the program’s own: confirm them in Tune.`]
      : []),
    ...(isWithoutPresses(takes.flatMap(({ stock }) => stock ?? []))
      ? [
          'No press is labelled in any take. Until some are, Sweep judges a guard by motion alone: by spins and stops, once they are confirmed.',
        ]
      : []),
    ...(takes.length > 0 && takes.every(({ performer }) => performer === '')
      ? [
          'No take names its performer: name them under “This take”, so that each is asked for what they lack.',
        ]
      : []),
  ];
  return sentences.length === 0 ? null : <p class="caution-line">{sentences.join(' ')}</p>;
}

function Drills({ name, items }: { readonly name: string; readonly items: readonly DrillItem[] }) {
  const missing = items.filter(({ status }) => status === 'missing').length;
  const done = items.filter(({ status }) => status === 'done').length;
  const rest = items.filter(({ status }) => status !== 'missing');
  return (
    <section class="card plan-card" aria-label={name}>
      <header>
        <h2>{name}</h2>
        <span class="unit">{missing === 0 ? 'all there' : `${missing} to record`}</span>
      </header>
      <ul>
        {items
          .filter(({ status }) => status === 'missing')
          .map((item) => (
            <Drill key={item.id} item={item} />
          ))}
      </ul>
      {rest.length > 0 && (
        <details class="drills-rest">
          <summary>
            <DrillMark status="done" /> {done} ticked off
            {rest.length > done && `, ${rest.length - done} for spinners only`}
          </summary>
          <ul>
            {rest.map((item) => (
              <Drill key={item.id} item={item} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

/** What to record next, large: the first drill of the plan that is open. */
function Next({ plan: { items }, isWhole }: { readonly plan: DrillPlan; readonly isWhole: boolean }) {
  const item = items.find(({ status }) => status === 'missing');
  if (!item) return isWhole ? <p class="card plan-next headline">Nothing is left to record.</p> : null;
  const { id, need, have, performer } = item;
  const { name, how, why } = DRILL_WORDS[id];
  const shortcut = shortcutText(item);
  return (
    <section class="card plan-next" aria-label="Record next" data-next={id}>
      <p class="quiet">Record next{performer ? `, with ${performer}` : ''}</p>
      <h3 class="headline">
        {name}: {drillAmount(id, need - have)} more
      </h3>
      <p>{how}</p>
      {shortcut !== '' && <p class="drill-shortcut">{shortcut}</p>}
      <Fold name="Why, and how to record">
        <p>{why}</p>
        <p>Record at 100 Hz or more, 200 Hz for hits, with the power button in the log.</p>
      </Fold>
    </section>
  );
}

const STATUS_WORDS = { done: 'done', missing: 'missing', optional: 'for spinners only' } as const;

/** A line; how to do it and what it is good for are behind its name. */
function Drill({ item }: { readonly item: DrillItem }) {
  const { id, need, have, status } = item;
  const { name, how, why } = DRILL_WORDS[id];
  const shortcut = shortcutText(item);
  const amount = (value: number) => drillAmount(id, value);
  return (
    <li class={`drill is-${status}`} data-drill={id} data-status={status}>
      <DrillMark status={status} />
      <details class="drill-what">
        <summary>{name}</summary>
        <p>
          {how} <span class="quiet">{why}</span>
        </p>
        {shortcut !== '' && <p class="drill-shortcut">{shortcut}</p>}
        {have > need && <p class="quiet">{amount(need)} needed.</p>}
        {status === 'optional' && (
          <p class="quiet">Asked of spinners only: whoever has spun for 10 s or more in all.</p>
        )}
      </details>
      <span class="drill-bar" aria-hidden="true">
        <span style={{ width: `${Math.min(100, (100 * have) / need)}%` }} />
      </span>
      <div class="drill-count">
        <b>{amount(have)}</b>
        {have <= need && <span class="quiet"> of {amount(need)}</span>}
        {status === 'optional' && <span class="drill-missing"> for spinners</span>}
      </div>
    </li>
  );
}

function DrillMark({ status }: Pick<DrillItem, 'status'>) {
  return (
    <svg
      class="drill-mark"
      width="16"
      height="16"
      viewBox="-8 -8 16 16"
      role="img"
      aria-label={STATUS_WORDS[status]}
    >
      <StatusShape status={status} />
    </svg>
  );
}

/** Ticked, open, or a dash: shapes, not colours alone. */
function StatusShape({ status }: Pick<DrillItem, 'status'>) {
  switch (status) {
    case 'done':
      return <path class="tick" d="M-5 0L-1.5 4L5.5 -5" />;
    case 'missing':
      return <circle class="open" r="5" />;
    case 'optional':
      return <path class="open" d="M-5 0H5" />;
  }
}
