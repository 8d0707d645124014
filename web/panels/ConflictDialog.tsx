import type { LabelList } from '../../server/engine/labels/labels.ts';
import { settingAt } from '../../server/engine/settings/candidateRules.ts';
import { counted } from '../../server/engine/words/count.ts';
import { formatClock } from '../charts/stave.ts';
import {
  type Conflict,
  candidateDifferences,
  conflict,
  settleConflict,
  type Way,
} from '../state/conflict.ts';
import { changesOf, type LabelChanges, mergeLabels, momentOf } from '../state/mergeLabels.ts';
import { saveSoon } from '../state/saving.ts';
import { bothCandidates, labelsByTake } from '../state/store.ts';
import { Dialog } from './Dialog.tsx';
import { kindName } from './labels/words.ts';

/** More of a list are counted only. */
const MOST_SHOWN = 8;

/** Another tab was faster: what differs, and whose to keep. */
export function ConflictDialog() {
  const found = conflict.value;
  if (!found) return null;
  const settle = (way: Way): void => {
    settleConflict(found, way);
    saveSoon();
  };
  return (
    <Dialog title="Changed in two places" onClose={() => (conflict.value = null)}>
      {found.kind === 'labels' ? <LabelDifferences found={found} /> : <SettingDifferences found={found} />}
      <footer>
        <button type="button" onClick={() => settle('theirs')}>
          Take theirs
        </button>
        <button type="button" onClick={() => settle('mine')}>
          Keep mine
        </button>
        <button type="button" class="main" onClick={() => settle('both')}>
          Both together
        </button>
      </footer>
    </Dialog>
  );
}

function LabelDifferences({ found }: { readonly found: Extract<Conflict, { kind: 'labels' }> }) {
  const { base, theirs } = found;
  const mine = labelsByTake.value[theirs.id] ?? base;
  const { contradicted } = mergeLabels(base, mine, theirs.labels);
  return (
    <>
      <p>The labels of “{theirs.title}” were changed here and, since, elsewhere, perhaps in another tab.</p>
      <Changes title="Changed here" changes={changesOf(base, mine)} />
      <Changes title="Changed there" changes={changesOf(base, theirs.labels)} />
      {contradicted.length > 0 && (
        <p class="caution-line">
          {counted(contradicted.length, 'label')} of yours cannot stand beside theirs (
          {contradicted.slice(0, MOST_SHOWN).map(words).join('; ')}): together, theirs stands.
        </p>
      )}
    </>
  );
}

function Changes({ title, changes }: { readonly title: string; readonly changes: LabelChanges }) {
  const lines = [
    ...changes.added.map((one) => ({ at: momentOf(one[1]), text: words(one) })),
    ...changes.removed.map((one) => ({ at: momentOf(one[1]), text: `no more: ${words(one)}` })),
  ].sort((a, b) => a.at - b.at);
  return (
    <section aria-label={title}>
      <h3>{title}</h3>
      <ul>
        {lines.slice(0, MOST_SHOWN).map(({ text }, i) => (
          <li key={i}>{text}</li>
        ))}
        {lines.length > MOST_SHOWN && <li>and {lines.length - MOST_SHOWN} more</li>}
        {lines.length === 0 && <li>nothing</li>}
      </ul>
    </section>
  );
}

function words([list, label]: LabelChanges['added'][number]): string {
  const clock = (us: number) => formatClock(us / 1e6, 1);
  if ('downUs' in label) return `press at ${clock(label.downUs)}, ${label.intent}`;
  return `${kindName('kind' in label ? label.kind : KIND_OF[list])} ${clock(label.startUs)} to ${clock(label.endUs)}`;
}

const KIND_OF: Readonly<Record<LabelList, string>> = {
  presses: 'press',
  spans: 'span',
  swings: 'swing',
  gestures: 'gesture',
};

function SettingDifferences({ found }: { readonly found: Extract<Conflict, { kind: 'candidates' }> }) {
  const differences = candidateDifferences(found, bothCandidates.value);
  return (
    <>
      <p>The candidates were changed here and, since, elsewhere, perhaps in another tab.</p>
      <table class="figures-table">
        <thead>
          <tr>
            <th scope="col">setting</th>
            <th scope="col">here</th>
            <th scope="col">there</th>
          </tr>
        </thead>
        <tbody>
          {differences.map(({ slot, path, mine, theirs, isContradicted }) => {
            const { label, unit } = settingAt(path);
            return (
              <tr key={`${slot} ${path}`}>
                <th scope="row">
                  {slot.toUpperCase()}: {label}
                  {isContradicted && <span class="caution"> both changed it: together, theirs stands</span>}
                </th>
                <td>
                  {mine} {unit}
                </td>
                <td>
                  {theirs} {unit}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </>
  );
}
