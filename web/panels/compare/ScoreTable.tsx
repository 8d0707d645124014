import type { VNode } from 'preact';
import { useRef, useState } from 'preact/hooks';
import {
  type Cell,
  SCORE_COLUMNS,
  type ScoreColumn,
  sumCells,
  worstOf,
} from '../../../server/engine/compare/cells.ts';
import { DETECTOR_IDS, DETECTORS, type DetectorId } from '../../../server/engine/detect/detectors.ts';
import { counted } from '../../../server/engine/words/count.ts';
import { SAY_DEFLECTION_BUTTON } from '../../../server/engine/words/deflectionButton.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import type { Slot } from '../../state/model.ts';
import { goToTake } from '../../state/session.ts';
import { cellText, cellTitle, isBad } from './cellText.ts';
import { nextSort, type Sort, sortTakes } from './sortTakes.ts';

/** From so many takes on the table scrolls in itself, under its headings. */
const MANY = 12;
/** Rows that are listed at first, and more with each click: a thousand would take seconds to lay out. */
const PAGE = 100;
const SLOTS: readonly Slot[] = ['a', 'b'];

interface Props {
  readonly takes: readonly ComparedTake[];
  /** The candidate that the table is sorted by. */
  readonly slot: Slot;
  onSlot(slot: Slot): void;
}

/** Takes against candidates, every score: the one worst cell of each candidate in each column is marked. */
export function ScoreTable({ takes, slot, onSlot }: Props) {
  const [sort, setSort] = useState<Sort>({ by: null, isDown: true });
  const [shown, setShown] = useState(PAGE);
  const sorted = sortTakes(takes, sort, slot);
  const left = sorted.length - shown;
  return (
    <section class="card compare-table" aria-label="All scores">
      <header>
        <h2>All scores</h2>
        <span class="unit">
          <b class="worst">▼ worst</b>: the worst take of each candidate where no other is as bad, of counts
          by the low end of their interval (about 95 %): one wrong of one proves little; a dash: nothing to
          score; “up to”: the longest of the takes’ medians
        </span>
        <span class="choices" role="group" aria-label="Sort by the scores of">
          {SLOTS.map((one) => (
            <button
              key={one}
              type="button"
              class="small"
              aria-pressed={slot === one}
              onClick={() => onSlot(one)}
            >
              sort by {one.toUpperCase()}
            </button>
          ))}
        </span>
      </header>
      <div class={`table-scroll ${takes.length > MANY ? 'is-long' : ''}`}>
        <table>
          <Heads sort={sort} onSort={(by) => setSort(nextSort(sort, by))} />
          <TotalRows takes={takes} />
          <TakeRows takes={takes} shown={sorted.slice(0, shown)} />
        </table>
      </div>
      {left > 0 && (
        <p class="quiet">
          {counted(shown, 'take')} of {takes.length} are listed, all are counted. Sort to see the worst first,
          or{' '}
          <button type="button" class="small" onClick={() => setShown(shown + PAGE)}>
            list {Math.min(PAGE, left)} more
          </button>
        </p>
      )}
    </section>
  );
}

function Heads({ sort, onSort }: { readonly sort: Sort; onSort(by: string): void }) {
  const button = (by: string, name: string, says: string) => (
    <button type="button" class="head" title={`${says}: sort by it`} onClick={() => onSort(by)}>
      {name}
      {sort.by === by ? (sort.isDown ? ' ↓' : ' ↑') : ''}
    </button>
  );
  const ariaSort = (by: string) =>
    sort.by === by ? (sort.isDown ? ('descending' as const) : ('ascending' as const)) : ('none' as const);
  return (
    <thead>
      <tr>
        <td colSpan={2} />
        {DETECTOR_IDS.map((group) => (
          <th
            key={group}
            scope="colgroup"
            colSpan={columnsOf(group).length}
            class="group-head"
            style={{ color: `var(--${group})` }}
          >
            {DETECTORS[group].name}
          </th>
        ))}
      </tr>
      <tr>
        <th scope="col" aria-sort={ariaSort('title')}>
          {button('title', 'Take', 'title')}
        </th>
        <th scope="col">
          <span class="unseen">Candidate</span>
        </th>
        {SCORE_COLUMNS.map((column) => (
          <th key={column.id} scope="col" aria-sort={ariaSort(column.id)} class={firstOf(column)}>
            {button(column.id, column.name, column.says)}
          </th>
        ))}
      </tr>
    </thead>
  );
}

function TotalRows({ takes }: { readonly takes: readonly ComparedTake[] }) {
  const isWhole = takes.every((take) => take.a !== null && take.b !== null);
  const name = isWhole ? (takes.length === 1 ? 'The take' : `All ${takes.length} takes`) : 'Takes so far';
  return (
    <tbody class="totals">
      {SLOTS.map((slot) => (
        <tr key={slot}>
          {slot === 'a' && (
            <th
              class="take-head is-total"
              scope="rowgroup"
              rowSpan={2}
              title="Counts added up, shares over all the time together; “up to”: the longest of the takes’ medians"
            >
              {name}
            </th>
          )}
          <td class={`slot is-${slot}`}>{slot.toUpperCase()}</td>
          {SCORE_COLUMNS.map((column) => (
            <ScoreCell
              key={column.id}
              column={column}
              cell={sumCells(cellsOf(takes, column, slot))}
              isWorst={false}
              isTotal={takes.length > 1}
              unknown={takes.filter((take) => isUnknown(take, column, slot)).length}
            />
          ))}
        </tr>
      ))}
    </tbody>
  );
}

function TakeRows(props: {
  readonly takes: readonly ComparedTake[];
  readonly shown: readonly ComparedTake[];
}) {
  const { takes, shown } = props;
  const painted = useRef(new Map<string, { readonly key: string; take: ComparedTake; node: VNode }>());
  const worst = SCORE_COLUMNS.flatMap((column) =>
    SLOTS.map((slot) => {
      const place = worstOf(cellsOf(takes, column, slot));
      return { column, slot, id: place === null ? null : takes[place]!.id };
    }),
  );
  const rows = shown.map((take) => {
    const marks = worst.filter(({ id }) => id === take.id).map(({ column, slot }) => `${column.id} ${slot}`);
    const key = marks.join();
    const before = painted.current.get(take.id);
    // The same node again is passed over: while takes come in, only theirs are painted.
    if (before?.take === take && before.key === key) return before.node;
    const node = <TakeBody key={take.id} take={take} worst={new Set(marks)} />;
    painted.current.set(take.id, { key, take, node });
    return node;
  });
  return <>{rows}</>;
}

function TakeBody({ take, worst }: { readonly take: ComparedTake; readonly worst: ReadonlySet<string> }) {
  return (
    <tbody data-compared={take.id}>
      {SLOTS.map((slot) => (
        <tr key={slot}>
          {slot === 'a' && <TakeHead take={take} />}
          <td class={`slot is-${slot}`}>{slot.toUpperCase()}</td>
          {take.problem === null && take[slot] === null ? (
            <td class="none is-first" colSpan={SCORE_COLUMNS.length}>
              …
            </td>
          ) : take.problem === null ? (
            SCORE_COLUMNS.map((column) => (
              <ScoreCell
                key={column.id}
                column={column}
                cell={take[slot] && column.read(take[slot])}
                isWorst={worst.has(`${column.id} ${slot}`)}
                unknown={isUnknown(take, column, slot) ? 1 : 0}
              />
            ))
          ) : (
            <td class="problem" colSpan={SCORE_COLUMNS.length}>
              {slot === 'a' ? `Not read: ${take.problem}` : ''}
            </td>
          )}
        </tr>
      ))}
    </tbody>
  );
}

function TakeHead({ take }: { readonly take: ComparedTake }) {
  return (
    <th class="take-head" scope="rowgroup" rowSpan={2}>
      <button type="button" class="take-link" title="Open it in Tune" onClick={() => goToTake(take.id)}>
        {take.title}
      </button>
      <span class="quiet">{take.performer}</span>
    </th>
  );
}

function ScoreCell(props: {
  column: ScoreColumn;
  cell: Cell | null;
  isWorst: boolean;
  isTotal?: boolean;
  /** Takes whose log does not tell it. */
  unknown: number;
}) {
  const { column, cell, isWorst, unknown } = props;
  if (cell === null && unknown > 0)
    return (
      <td class={`none ${firstOf(column)}`} title={SAY_DEFLECTION_BUTTON}>
        not known
      </td>
    );
  if (cell === null) return <td class={`none ${firstOf(column)}`}>–</td>;
  const isLongest = props.isTotal && cell.kind === 'ms';
  return (
    <td
      class={`${firstOf(column)} ${isBad(cell) ? 'is-bad' : ''}`}
      title={`${cellTitle(cell, column.says)}${isLongest ? ': the longest of the takes’' : ''}`}
      data-score={column.id}
    >
      {isLongest && <span class="quiet">up to </span>}
      {cellText(cell)}
      {unknown > 0 && firstOf(column) !== '' && (
        <span class="quiet" title={SAY_DEFLECTION_BUTTON}>
          {' '}
          {counted(unknown, 'take')} not known
        </span>
      )}
      {isWorst && <b class="worst">▼ worst</b>}
    </td>
  );
}

/** Whether the take's log does not tell when the deflection's button was held. */
function isUnknown(take: ComparedTake, column: ScoreColumn, slot: Slot): boolean {
  return column.group === 'deflection' && take[slot]?.deflection === null;
}

function columnsOf(group: DetectorId): ScoreColumn[] {
  return SCORE_COLUMNS.filter((column) => column.group === group);
}

function firstOf(column: ScoreColumn): string {
  return columnsOf(column.group)[0] === column ? 'is-first' : '';
}

function cellsOf(takes: readonly ComparedTake[], column: ScoreColumn, slot: Slot): (Cell | null)[] {
  return takes.map((take) => take[slot] && column.read(take[slot]));
}
