import { labelDoubts } from '../../../server/engine/labels/labelDoubts.ts';
import type { LabelBy, Labels, Proposals } from '../../../server/engine/labels/labels.ts';
import type { ProposedKind } from '../../../server/engine/labels/labelsEdit.ts';
import { mixedSpins } from '../../../server/engine/truth/spans.ts';
import { counted } from '../../../server/engine/words/count.ts';
import { doubtTexts, mixedSpinsText } from '../../../server/engine/words/labels.ts';
import { exportLabels, importLabels, pickLabels } from '../../state/labelFiles.ts';
import { stepPress } from '../../state/labelling.ts';
import {
  areLabelsShown,
  confirmProposed,
  confirmSpinsAndSwings,
  proposals,
  spanMode,
  stepItem,
  walkKind,
} from '../../state/labelWalk.ts';
import { openLabels, openTake, powerPresses } from '../../state/openTake.ts';
import { truth } from '../../state/verdicts.ts';
import { LabelDoubts } from './LabelDoubts.tsx';
import { LogTexts, openLogTexts } from './LogTexts.tsx';
import { KindChoice } from './SpanMode.tsx';
import { kindName } from './words.ts';

interface Row {
  /** The items that J and K walk through; null for presses, which N and P walk through. */
  readonly walk: string | null;
  readonly name: string;
  readonly by: Readonly<Record<LabelBy, number>>;
  readonly proposed: number;
  readonly confirm: ProposedKind | null;
}

/** Who labelled what in the open take, what the program proposes, and labels as files. */
export function LabelsPanel() {
  const found = proposals.value;
  if (!openTake.value || !found) return null;
  const labels = openLabels.value;
  const rows = rowsOf(labels, found);
  const given = rows.reduce((sum, { by }) => sum + by.person, 0);
  const untaken = openLogTexts.value.filter(({ isTaken }) => !isTaken).length;
  return (
    <details
      class="card labels-panel"
      open={areLabelsShown.value}
      onToggle={(event) => (areLabelsShown.value = event.currentTarget.open)}
    >
      <summary>
        <h2>Labels</h2>
        <span class="unit">
          {given} by a person
          {untaken > 0 && ` · ${counted(untaken, 'word', 'words')} in the log`}
        </span>
      </summary>
      <table class="label-table">
        <thead>
          <tr>
            <th scope="col">
              <span class="quiet">walk</span>
            </th>
            <th scope="col" title="Labelled by a person">
              person
            </th>
            <th scope="col" title="Known from the simulation">
              simul.
            </th>
            <th scope="col" title="Proposed by the program, for a person to confirm">
              proposed
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <LabelRow key={row.walk ?? 'press'} row={row} />
          ))}
        </tbody>
      </table>
      <LabelDoubts takes={[{ title: '', doubts: doubtTexts(labelDoubts(labels)) }]} />
      <p class="quiet label-note">{noteOf(labels, rows)}</p>
      <MixedSpins found={found} />
      <ConfirmSpinsAndSwings found={found} />
      <LogTexts />
      <p class="label-actions">
        <button
          type="button"
          class="small"
          aria-pressed={spanMode.value}
          title="L"
          onClick={() => (spanMode.value = !spanMode.value)}
        >
          Label spans
        </button>
        <KindChoice />
      </p>
      <p class="label-actions">
        <button type="button" class="small" onClick={() => exportLabels('json')}>
          Export JSON
        </button>
        <button type="button" class="small" onClick={() => exportLabels('csv')}>
          Export CSV
        </button>
        <button
          type="button"
          class="small"
          title="Labels of a file take the place of this take’s"
          onClick={pickLabels}
          onDragOver={(event) => event.preventDefault()}
          onDrop={(event) => {
            const file = event.dataTransfer?.files[0];
            if (!file) return;
            event.preventDefault();
            event.stopPropagation();
            void importLabels(file);
          }}
        >
          Import…
        </button>
      </p>
    </details>
  );
}

/** What a proposed spin is, where its speed may surprise. */
function MixedSpins({ found }: { readonly found: Proposals }) {
  const text = mixedSpinsText(mixedSpins(found.spinning, truth.value?.swings ?? []).length);
  return text === '' ? null : <p class="quiet label-note">{text}</p>;
}

/** The confirmations that judging by motion needs, in one click. */
function ConfirmSpinsAndSwings({ found }: { readonly found: Proposals }) {
  const [spins, swings] = [found.spinning.length, found.swings.length];
  if (spins === 0 || swings === 0) return null;
  return (
    <p class="label-actions">
      <button
        type="button"
        class="small"
        title="Say that all are right. The stops at their ends count as confirmed with them: then Sweep can judge a guard by motion, without a press."
        onClick={confirmSpinsAndSwings}
      >
        Confirm {counted(spins, 'spin')} and {counted(swings, 'swing')}
      </button>
    </p>
  );
}

function LabelRow({ row }: { readonly row: Row }) {
  const { walk, name, by, proposed, confirm } = row;
  const isChosen = walk !== null && walkKind.value === walk;
  return (
    <tr>
      <th scope="row">
        <button
          type="button"
          class="small"
          aria-pressed={isChosen}
          title={`${name}: walk through them with ${walk === null ? 'N and P' : 'J and K'}`}
          onClick={() => {
            if (walk === null) return stepPress(1);
            walkKind.value = walk;
            stepItem(1);
          }}
        >
          {name}
        </button>
      </th>
      <td>{by.person || '–'}</td>
      <td>{by.simulation || '–'}</td>
      <td>
        {proposed === 0 ? (
          '–'
        ) : confirm === null ? (
          proposed
        ) : (
          <button
            type="button"
            class="small"
            onClick={() => confirmProposed(confirm)}
            title={confirmTitle(row)}
          >
            {confirm === 'strays' ? `All ${proposed} stray` : `Confirm ${proposed}`}
          </button>
        )}
      </td>
    </tr>
  );
}

const GESTURE_ROWS = [
  ['thrust', 'Thrusts'],
  ['hit', 'Hits'],
  ['twist', 'Twists'],
] as const;

function confirmTitle({ confirm, proposed }: Row): string {
  return confirm === 'strays'
    ? `${proposed} unlabelled presses inside a spin: label all of them stray`
    : `Say that all ${proposed} are right: they count as labelled by a person from then on`;
}

function rowsOf(labels: Labels, found: NonNullable<typeof proposals.value>): Row[] {
  const spans = (kind: string) => labels.spans.filter((span) => span.kind === kind);
  const gestures = (kind: string) => (labels.gestures ?? []).filter((gesture) => gesture.kind === kind);
  const usual = ['spinning', 'still'];
  const others = [...new Set(labels.spans.map(({ kind }) => kind).filter((kind) => !usual.includes(kind)))];
  return [
    rowOf(null, 'Presses', labels.presses, found.strays.length, 'strays'),
    rowOf('swing', 'Swings', labels.swings, found.swings.length, 'swings'),
    rowOf('spinning', 'Spins', spans('spinning'), found.spinning.length, 'spinning'),
    rowOf('still', 'Still', spans('still'), found.still.length, 'still'),
    ...GESTURE_ROWS.map(([kind, name]) => {
      const open = found.gestures.filter((gesture) => gesture.kind === kind).length;
      return rowOf(kind, name, gestures(kind), open, kind);
    }),
    ...others.map((kind) => rowOf(kind, kindName(kind), spans(kind), 0, null)),
  ];
}

/** Labels that the program left in a document are proposals too. */
function rowOf(
  walk: string | null,
  name: string,
  labels: readonly { readonly by: LabelBy }[],
  open: number,
  confirm: ProposedKind | null,
): Row {
  const by = { person: 0, program: 0, simulation: 0 };
  for (const label of labels) ++by[label.by];
  return { walk, name, by, proposed: open + by.program, confirm: open === 0 ? null : confirm };
}

function noteOf(labels: Labels, rows: readonly Row[]): string {
  const spins = rows.find(({ walk }) => walk === 'spinning');
  if (labels.presses.length === 0 && powerPresses.value.length > 0)
    return 'No press is labelled yet: N for the next, then W wanted, S stray, U unsure.';
  if (spins && spins.proposed > 0 && spins.by.person + spins.by.simulation > 0)
    return 'Only labelled spins count, once there is one: the proposed ones wait to be confirmed.';
  return 'J and K walk through the kind chosen here; C confirms, X rejects, L labels spans.';
}
