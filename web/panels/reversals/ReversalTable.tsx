import { useMemo, useState } from 'preact/hooks';
import { isHeldThrough } from '../../../server/engine/explain/reversalRows.ts';
import { signed } from '../../../server/engine/words/count.ts';
import { FATE_WORDS, fateOf } from '../../state/fate.ts';
import type { TakeReversal } from '../../sweep/jobs.ts';
import { PressMark } from '../PressMark.tsx';
import { showOnStaves } from './showOnStaves.ts';
import { type SortKey, sortReversals } from './sortReversals.ts';

/** A page of rows; a whole workspace has tens of thousands. */
const PAGE = 300;

const HOLD_TITLE =
  'Hold that spans the time below the guard’s speed, in whole ms. A hold is rounded up to samples: up to one sample less may do too';

const COLUMNS: readonly { readonly key: SortKey; readonly name: string; readonly title: string }[] = [
  { key: 'time', name: 'time', title: 'When the blade is slowest' },
  { key: 'lowest', name: 'lowest °/s', title: 'Lowest swing speed, without noise and delay' },
  { key: 'turn', name: 'turn °', title: 'How far the direction of swing turns; 180 is straight back' },
  { key: 'dip', name: 'dip ms', title: 'Time below the guard’s speed, as the guard sees it' },
  { key: 'hold', name: 'hold needed', title: HOLD_TITLE },
  { key: 'guard', name: 'guard', title: 'Whether the guard under edit stays closed' },
];

/** Every reversal as a row; a click shows it on the staves. */
export function ReversalTable(props: {
  readonly rows: readonly TakeReversal[];
  readonly holdMs: number;
  readonly showsTitles: boolean;
  readonly pointed: TakeReversal | null;
  onPoint(row: TakeReversal | null): void;
}) {
  const { rows, showsTitles } = props;
  const [sort, setSort] = useState<{ key: SortKey; isRising: boolean }>({ key: 'title', isRising: true });
  const [count, setCount] = useState(PAGE);
  const sorted = useMemo(() => sortReversals(rows, sort.key, sort.isRising), [rows, sort]);
  const columns = showsTitles ? [TITLE_COLUMN, ...COLUMNS] : COLUMNS;
  // With one take, sorting by take is sorting by time.
  const shownSort = !showsTitles && sort.key === 'title' ? { ...sort, key: 'time' as const } : sort;
  return (
    <section class="card reversal-table" aria-label="Reversals">
      <table>
        <thead>
          <tr>
            {columns.map(({ key, name, title }) => (
              <th key={key} scope="col" aria-sort={ariaSort(shownSort, key)}>
                <button
                  type="button"
                  title={title}
                  onClick={() =>
                    setSort({ key, isRising: shownSort.key === key ? !sort.isRising : key !== 'hold' })
                  }
                >
                  {name}
                  <span aria-hidden="true">{shownSort.key === key ? (sort.isRising ? ' ▴' : ' ▾') : ''}</span>
                </button>
              </th>
            ))}
            <th scope="col">presses near</th>
          </tr>
        </thead>
        <tbody>
          {sorted.slice(0, count).map((row) => (
            <Row
              key={`${row.takeId} ${row.timeUs}`}
              {...props}
              row={row}
              isPointed={isSame(row, props.pointed)}
            />
          ))}
        </tbody>
      </table>
      {rows.length > count && (
        <button type="button" class="small" onClick={() => setCount(count + PAGE)}>
          Show {Math.min(PAGE, rows.length - count)} more of {rows.length}
        </button>
      )}
    </section>
  );
}

const TITLE_COLUMN = { key: 'title', name: 'take', title: 'Take' } as const;

function Row(props: {
  readonly row: TakeReversal;
  readonly holdMs: number;
  readonly showsTitles: boolean;
  readonly isPointed: boolean;
  onPoint(row: TakeReversal | null): void;
}) {
  const { row, showsTitles } = props;
  const isHeld = isHeldThrough(row, props.holdMs);
  const show = () => showOnStaves(row.takeId, row.timeUs);
  return (
    // The button in its first cell does the same by key.
    <tr
      class={props.isPointed ? 'is-pointed' : ''}
      onClick={show}
      onPointerEnter={() => props.onPoint(row)}
      onPointerLeave={() => props.onPoint(null)}
    >
      {showsTitles && <td>{row.title}</td>}
      <td>
        <button type="button" class="link" title="Show on the staves" onFocus={() => props.onPoint(row)}>
          {(row.timeUs / 1e6).toFixed(2)} s
        </button>
      </td>
      <td>{row.lowestDps.toFixed(0)}</td>
      <td>{row.turnDeg.toFixed(0)}</td>
      <td>{row.dipMs === null ? '–' : row.dipMs.toFixed(0)}</td>
      <td>{holdText(row)}</td>
      <td class={isHeld ? 'good' : 'bad'}>{isHeld ? 'closed' : 'opens'}</td>
      <td>
        <NearPresses row={row} />
      </td>
    </tr>
  );
}

function NearPresses({ row }: { readonly row: TakeReversal }) {
  return (
    <span class="near">
      {row.pressesNear.map((press) => {
        const fate = fateOf(press, press.intent);
        const when = `${signed(press.offsetMs)} ms`;
        return (
          <span key={press.downUs} title={`${FATE_WORDS[fate]}, ${when} from the lowest point`}>
            <svg width="14" height="14" viewBox="-8 -8 16 16" role="img" aria-label={FATE_WORDS[fate]}>
              <PressMark fate={fate} />
            </svg>
            {when}
          </span>
        );
      })}
    </span>
  );
}

function holdText({ holdNeededMs, dipMs }: TakeReversal): string {
  if (holdNeededMs === null) return dipMs === null ? 'speed not reached' : '–';
  return holdNeededMs === 0 ? 'none' : `${holdNeededMs} ms`;
}

function ariaSort(
  sort: { key: SortKey; isRising: boolean },
  key: SortKey,
): 'ascending' | 'descending' | 'none' {
  return sort.key !== key ? 'none' : sort.isRising ? 'ascending' : 'descending';
}

function isSame(row: TakeReversal, other: TakeReversal | null): boolean {
  return other !== null && row.takeId === other.takeId && row.timeUs === other.timeUs;
}
