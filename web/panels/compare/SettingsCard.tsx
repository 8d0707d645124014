import { useState } from 'preact/hooks';
import { performerKey } from '../../../server/engine/choose/leftOut.ts';
import { type Cell, SCORE_COLUMNS, sumCells } from '../../../server/engine/compare/cells.ts';
import type { TakeScores } from '../../../server/engine/compare/takeScores.ts';
import type { StoredSetting } from '../../../server/http/schemas.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import { keptSettings } from '../../state/keptSettings.ts';
import { dispatch } from '../../state/store.ts';
import { cellText, cellTitle, isBad } from './cellText.ts';
import { type Grouping, GroupingChoice, groupOf } from './GroupingChoice.tsx';

/** Every kept setting on every performer, prop, session or take: whether one still holds, and for whom else. */
export function SettingsCard({ takes }: { readonly takes: readonly ComparedTake[] }) {
  const [grouping, setGrouping] = useState<Grouping>('performer');
  const [scoreId, setScoreId] = useState(SCORE_COLUMNS[0]!.id);
  const settings = keptSettings.value ?? [];
  const column = SCORE_COLUMNS.find(({ id }) => id === scoreId)!;
  const groups = new Map<string, ComparedTake[]>();
  for (const take of takes) {
    const name = groupOf(take, grouping);
    groups.set(name, [...(groups.get(name) ?? []), take]);
  }
  return (
    <section class="card compare-card" aria-label="Kept settings">
      <header>
        <h2>Kept settings, each on all</h2>
        <span class="unit">outlined: for whom it is kept</span>
        <label class="layer">
          Score
          <select value={scoreId} onChange={(event) => setScoreId(event.currentTarget.value)}>
            {SCORE_COLUMNS.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <GroupingChoice name="One row for each" takes={takes} grouping={grouping} onChange={setGrouping} />
      </header>
      {settings.length === 0 ? (
        <p class="card-text">
          No setting is kept yet: keep one beside the settings, and it stands here against every take.{' '}
          <button type="button" class="small" onClick={() => dispatch({ type: 'viewChosen', view: 'kept' })}>
            Kept settings
          </button>
        </p>
      ) : (
        <div class="table-scroll">
          <table class="sharing settings-matrix">
            <thead>
              <tr>
                <th scope="col" class="grouping">
                  {grouping}
                </th>
                <Head name="A" title="Candidate A" />
                <Head name="B" title="Candidate B" />
                {settings.map(({ id, name }) => (
                  <Head key={id} name={name} title={name} />
                ))}
              </tr>
            </thead>
            <tbody>
              {[...groups].map(([name, group]) => (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  <Score group={group} of={({ a }) => a} column={column} />
                  <Score group={group} of={({ b }) => b} column={column} />
                  {settings.map((setting) => (
                    <Score
                      key={setting.id}
                      group={group}
                      of={({ kept }) => kept.get(setting.id) ?? null}
                      column={column}
                      isOwn={isFor(setting, group)}
                    />
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </section>
  );
}

function Head({ name, title }: { readonly name: string; readonly title: string }) {
  return (
    <th scope="col" title={title}>
      {name}
    </th>
  );
}

/** A score over a group; none while a take of it is still to be worked out. */
function Score(props: {
  readonly group: readonly ComparedTake[];
  of(take: ComparedTake): TakeScores | null;
  readonly column: (typeof SCORE_COLUMNS)[number];
  readonly isOwn?: boolean;
}) {
  const { group, of, column, isOwn = false } = props;
  const readable = group.filter(({ problem }) => problem === null);
  const scores = readable.flatMap((take) => of(take) ?? []);
  const mark = isOwn ? 'is-own' : '';
  if (scores.length < readable.length) return <td class={`none ${mark}`}>…</td>;
  const cell: Cell | null = sumCells(scores.map(column.read));
  if (cell === null) return <td class={`none ${mark}`}>–</td>;
  return (
    <td class={`${mark} ${isBad(cell) ? 'is-bad' : ''}`} title={cellTitle(cell, column.says)}>
      {cellText(cell)}
    </td>
  );
}

/** Whether a setting is kept for everybody of a group, by name. */
function isFor({ performers }: StoredSetting, group: readonly ComparedTake[]): boolean {
  const keys = new Set(performers.map(performerKey));
  return keys.size > 0 && group.every(({ performer }) => keys.has(performerKey(performer)));
}
