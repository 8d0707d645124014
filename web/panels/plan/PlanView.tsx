import { useEffect } from 'preact/hooks';
import type { DrillItem, DrillPlan } from '../../../server/engine/plan/drillPlan.ts';
import { isWithoutPresses } from '../../../server/engine/plan/takeStock.ts';
import { unfitText } from '../../../server/engine/words/choose/unfit.ts';
import { counted, plural } from '../../../server/engine/words/count.ts';
import { DRILL_WORDS, drillAmount, shortcutText } from '../../../server/engine/words/plan.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import { comparedTakes, followComparison } from '../../state/comparing.ts';
import { drillPlan } from '../../state/drills.ts';
import { workspace } from '../../state/workspace.ts';
import { CompareProgress } from '../compare/CompareProgress.tsx';
import { FitnessLine } from '../FitnessLine.tsx';
import { pickFiles } from '../pickFiles.ts';

/** Which drills to record, how many of each and why, ticked off by what the workspace holds. */
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
        Swing only in clear space, with eye protection where people are close. Record at 100 Hz or more, 200
        Hz for hits, with the power button in the log.{' '}
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
  const optional = items.length - asked;
  const spinners =
    optional > 0
      ? ` ${optional} more ${plural(optional, 'is', 'are')} for spinners only: whoever has spun for 10 s or more in all.`
      : '';
  return `${asked - missing} of ${asked} drills are ticked off${so}. ${counted(missing, 'is', 'are')} still to record.${spinners}`;
}

function Notes({ takes }: { readonly takes: readonly ComparedTake[] }) {
  const unread = takes.filter((take) => take.problem !== null);
  const byProgram = takes.reduce((sum, take) => sum + (take.stock?.pressesByProgram ?? 0), 0);
  const sentences = [
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
  return (
    <section class="card plan-card" aria-label={name}>
      <header>
        <h2>{name}</h2>
        <span class="unit">{missing === 0 ? 'all there' : `${missing} to record`}</span>
      </header>
      <ul>
        {items.map((item) => (
          <Drill key={item.id} item={item} />
        ))}
      </ul>
    </section>
  );
}

const STATUS_WORDS = { done: 'done', missing: 'missing', optional: 'for spinners only' } as const;

function Drill({ item }: { readonly item: DrillItem }) {
  const { id, need, have, status } = item;
  const { name, how, why } = DRILL_WORDS[id];
  const shortcut = shortcutText(item);
  const amount = (value: number) => drillAmount(id, value);
  return (
    <li class={`drill is-${status}`} data-drill={id} data-status={status}>
      <svg width="16" height="16" viewBox="-8 -8 16 16" role="img" aria-label={STATUS_WORDS[status]}>
        <StatusMark status={status} />
      </svg>
      <div class="drill-what">
        <b>{name}</b> {how}
        <span class="quiet"> {why}</span>
        {shortcut !== '' && <span class="drill-shortcut"> {shortcut}</span>}
      </div>
      <div class="drill-count">
        <b>{amount(have)}</b>
        <span class="quiet">{have > need ? `, ${amount(need)} needed` : ` of ${amount(need)}`}</span>
        <span class="drill-bar" aria-hidden="true">
          <span style={{ width: `${Math.min(100, (100 * have) / need)}%` }} />
        </span>
        <span class="drill-missing">
          {status === 'missing' ? `${amount(need - have)} more` : STATUS_WORDS[status]}
        </span>
      </div>
    </li>
  );
}

/** Ticked, open, or in brackets: shapes, not colours alone. */
function StatusMark({ status }: { readonly status: DrillItem['status'] }) {
  switch (status) {
    case 'done':
      return <path class="tick" d="M-5 0L-1.5 4L5.5 -5" />;
    case 'missing':
      return <circle class="open" r="5" />;
    case 'optional':
      return <path class="open" d="M-5 0H5" />;
  }
}
