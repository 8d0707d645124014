import {
  badnessOf,
  type Cell,
  SCORE_COLUMNS,
  sumCells,
  worstOf,
} from '../../../server/engine/compare/cells.ts';
import type { TakeScores } from '../../../server/engine/compare/takeScores.ts';
import { counted } from '../../../server/engine/words/count.ts';
import type { StoredSetting } from '../../../server/http/schemas.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import type { Slot } from '../../state/model.ts';
import { goToTake } from '../../state/session.ts';
import { ownSetting } from '../../state/settingChanges.ts';
import { cellText, cellTitle, isBad } from './cellText.ts';

/** What is asked first: do presses go wrong, and are swings missed? By the ids of the scores. */
const ASKED = ['strays', 'wanted', 'missed'];
const COLUMNS = SCORE_COLUMNS.filter(({ id }) => ASKED.includes(id));
const NAMES: Readonly<Record<string, string>> = { missed: 'Swings missed' };

/** One performer, and what of their takes is judged by their own kept settings, or else by a candidate. */
interface Row {
  readonly performer: string;
  /** The kept settings that their takes are judged by; the others are judged by the candidate. */
  readonly settings: readonly StoredSetting[];
  readonly usesCandidate: boolean;
  readonly judged: readonly { readonly take: ComparedTake; readonly scores: TakeScores | null }[];
}

/** Does it hold for everyone? A row a performer, by the setting that is kept for them where there is one. */
export function PerformersCard(props: {
  readonly takes: readonly ComparedTake[];
  /** The candidate that stands in where no setting is kept. */
  readonly slot: Slot;
  onSlot(slot: Slot): void;
}) {
  const { slot } = props;
  const rows = rowsOf(props.takes, slot);
  return (
    <section class="card compare-card performers" aria-label="Performer by performer">
      <header>
        <h2 class="headline" data-holds>
          {headlineOf(rows)}
        </h2>
        {rows.some(({ usesCandidate }) => usesCandidate) && (
          <span class="choices" role="group" aria-label="Where no setting is kept, judge by candidate">
            {(['a', 'b'] as const).map((one) => (
              <button
                key={one}
                type="button"
                class="small"
                aria-pressed={slot === one}
                title={`Where no setting is kept for a performer, judge by candidate ${one.toUpperCase()}`}
                onClick={() => props.onSlot(one)}
              >
                by {one.toUpperCase()}
              </button>
            ))}
          </span>
        )}
      </header>
      <div class="table-scroll">
        <table class="sharing">
          <thead>
            <tr>
              <th scope="col">Performer</th>
              <th scope="col" class="of-setting">
                Setting
              </th>
              {COLUMNS.map(({ id, name, says }) => (
                <th key={id} scope="col" title={says}>
                  {NAMES[id] ?? name}
                </th>
              ))}
              <th
                scope="col"
                class="of-take"
                title="The take with the most presses gone wrong for sure, else with the most swings missed"
              >
                Worst take
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <PerformerRow key={row.performer} row={row} slot={slot} />
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function PerformerRow({ row, slot }: { readonly row: Row; readonly slot: Slot }) {
  const { performer, settings, usesCandidate, judged } = row;
  const isWhole = judged.every(({ take, scores }) => scores !== null || take.problem !== null);
  const by = [
    ...settings.map(({ name }) => name),
    ...(usesCandidate ? [`candidate ${slot.toUpperCase()}`] : []),
  ];
  const worst = isWhole ? worstTake(row) : null;
  return (
    <tr data-performer={performer}>
      <th scope="row">{performer || 'No performer named'}</th>
      <td class="of-setting">{by.join(', ')}</td>
      {COLUMNS.map((column) => {
        const cell = sumCells(judged.map(({ scores }) => scores && column.read(scores)));
        if (!isWhole || cell === null)
          return (
            <td key={column.id} class="none">
              {isWhole ? '–' : '…'}
            </td>
          );
        return (
          <td
            key={column.id}
            class={isBad(cell) ? 'is-bad' : ''}
            title={cellTitle(cell, column.says)}
            data-score={column.id}
          >
            {cellText(cell)}
          </td>
        );
      })}
      <td class="of-take">
        {worst === null ? (
          <span class="quiet">–</span>
        ) : (
          <>
            <button
              type="button"
              class="take-link"
              title="Open it in Tune"
              onClick={() => goToTake(worst.take.id)}
            >
              {worst.take.title}
            </button>{' '}
            <span class="quiet">
              {cellText(worst.cell)} {worst.of}
            </span>
          </>
        )}
      </td>
    </tr>
  );
}

function rowsOf(takes: readonly ComparedTake[], slot: Slot): Row[] {
  const performers = [...new Set(takes.map(({ performer }) => performer))];
  return performers.map((performer) => {
    const own = takes.filter((take) => take.performer === performer);
    const settings = own.map(ownSetting);
    return {
      performer,
      settings: [...new Set(settings.flatMap((setting) => setting ?? []))],
      usesCandidate: settings.includes(null),
      judged: own.map((take, i) => {
        const setting = settings[i];
        return { take, scores: setting ? (take.kept.get(setting.id) ?? null) : take[slot] };
      }),
    };
  });
}

/** What a take is the worst in, and how many of these go wrong. */
interface Worst {
  readonly take: ComparedTake;
  readonly cell: Cell;
  readonly of: 'presses' | 'swings';
}

/** The take that is worst by its presses, or where those tell nothing by its swings; null where none is, or several are alike. */
function worstTake({ judged }: Row): Worst | null {
  for (const of of ['presses', 'swings'] as const) {
    const columns = COLUMNS.filter(({ id }) => (of === 'swings') === (id === 'missed'));
    const cells = judged.map(({ scores }) => scores && sumCells(columns.map(({ read }) => read(scores))));
    const known = cells.flatMap((cell, i) => (cell === null ? [] : [{ cell, i }]));
    const only = known.length === 1 && badnessOf(known[0]!.cell) > 0 ? known[0]!.i : null;
    const place = worstOf(cells) ?? only;
    if (place !== null) return { take: judged[place]!.take, cell: cells[place]!, of };
  }
  return null;
}

/**
 * For how many nothing goes wrong, of the presses first: what is missed of the swings is told apart, for a setting of the
 * guard does nothing about it. What has nothing labelled says nothing, and does not count as well.
 */
function headlineOf(rows: readonly Row[]): string {
  const isWhole = rows.every(({ judged }) =>
    judged.every(({ take, scores }) => scores !== null || take.problem !== null),
  );
  if (!isWhole) return 'Being compared…';
  const sums = rows.map(({ judged }) =>
    COLUMNS.map(({ read }) => sumCells(judged.map(({ scores }) => scores && read(scores)))),
  );
  const unknown = sums.filter((cells) => cells.every((cell) => cell === null)).length;
  if (unknown === rows.length) return 'Nothing is labelled: no score tells.';
  const wrongIn = (isAsked: (id: string) => boolean): number =>
    sums.filter((cells) => cells.some((cell, k) => isAsked(COLUMNS[k]!.id) && cell !== null && isBad(cell)))
      .length;
  const presses = wrongIn((id) => id !== 'missed');
  const swings = wrongIn((id) => id === 'missed');
  const blind = rows.filter(({ judged }) => judged.some(({ scores }) => scores?.deflection === null)).length;
  const blindText =
    blind > 0 ? ` Deflections are not known in some takes of ${ofAll(blind, rows.length)}.` : '';
  const told = `${unknown > 0 ? ` Nothing is labelled for ${unknown} of ${rows.length}.` : ''}${blindText}`;
  if (presses + swings === 0) return `It holds: nothing goes wrong.${told}`;
  const missed = swings > 0 ? `wings are missed for ${ofAll(swings, rows.length)}.` : '';
  if (presses === 0) return `No press goes wrong. S${missed}${told}`;
  const wrong = `Presses go wrong for ${ofAll(presses, rows.length)}`;
  return missed === '' ? `${wrong}.${told}` : `${wrong}, s${missed}${told}`;
}

function ofAll(some: number, all: number): string {
  if (some < all) return `${some} of ${counted(all, 'performer', 'performers')}`;
  return all === 1 ? 'the only performer' : `all ${all} performers`;
}
