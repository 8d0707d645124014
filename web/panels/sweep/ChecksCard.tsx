import type { Fold, HeldOut } from '../../../server/engine/choose/leaveOut.ts';
import type { Evidence, KOfN } from '../../../server/engine/choose/problem.ts';
import type { SweepGrid } from '../../../server/engine/sweep/grid.ts';
import { heldWords, lackText, wrongIn } from '../../../server/engine/words/choose/heldOut.ts';
import { PROBLEM_WORDS, STRESS_WORDS } from '../../../server/engine/words/choose/problems.ts';
import { counted } from '../../../server/engine/words/count.ts';
import type { ChoiceResult } from '../../sweep/jobs.ts';
import type { CountColumn, MapView } from './maps/mapView.ts';

const LONE_TAKE = 'There is but one take: look at more, and each is left out in turn.';
const LONE_PERFORMER = 'All takes are of one performer: nothing tells whether the setting holds for another.';

type View<Part extends string> = Pick<
  MapView<Part, SweepGrid<Part>, Evidence, never>,
  'problem' | 'columns' | 'moreFires'
>;

/** What the checks came to, in a line: what went wrong on takes left out, and what turns round under stress. */
export function checksInBrief<Part extends string, Why>(
  { columns, problem }: View<Part>,
  result: ChoiceResult<Part, Why> | null,
): string {
  if (result?.choice.kind !== 'suggestion') return 'on takes and performers left out, and under stress';
  const { byTake, stress, stressed } = result;
  const held = byTake === null ? 'No other take to check it on.' : heldWords(problem.kind, byTake, columns);
  if (stressed === 0) return `${held} Under stress: being tried…`;
  const flips = stress.reduce((sum, one) => sum + one.flips, 0);
  const more = stress.reduce((sum, { moreFires }) => sum + moreFires, 0);
  const turned = [
    ...(flips > 0 ? [counted(flips, 'verdict turns round', 'verdicts turn round')] : []),
    ...(more > 0 ? [counted(more, 'more fire', 'more fires')] : []),
  ];
  return `${held} Under stress ${turned.length === 0 ? 'no verdict flips' : turned.join(', ')}.`;
}

/** A choice tried on what it was not made from, and under what may differ on another day. */
export function ChecksCard<Part extends string, Why>({
  view,
  result,
}: {
  readonly view: View<Part>;
  readonly result: ChoiceResult<Part, Why> | null;
}) {
  return (
    <section class="card checks">
      {result?.choice.kind === 'suggestion' ? (
        <>
          <HeldOutTable title="Each take left out" held={result.byTake} lone={LONE_TAKE} view={view} />
          <div class="checks-pair">
            <HeldOutTable
              title="Each performer left out"
              held={result.byPerformer}
              lone={LONE_PERFORMER}
              view={view}
            />
            <StressTable view={view} result={result} />
          </div>
        </>
      ) : (
        <div>
          <header>
            <h2>Checks</h2>
          </header>
          <p class="quiet">A suggestion is checked on takes and performers left out, and under stress.</p>
        </div>
      )}
    </section>
  );
}

function Heads({ columns }: { readonly columns: readonly CountColumn[] }) {
  return (
    <>
      {columns.map(({ part, head, title }) => (
        <th key={part} scope="col" title={title}>
          {head}
        </th>
      ))}
    </>
  );
}

/** The choice made without one take or performer, scored on what was left out. */
function HeldOutTable<Part extends string>(props: {
  readonly title: string;
  readonly held: HeldOut<Part> | null;
  /** What to say where there is nothing to leave out. */
  readonly lone: string;
  readonly view: View<Part>;
}) {
  const { title, held, lone, view } = props;
  const { columns } = view;
  return (
    <div>
      <header>
        <h2>{title}</h2>
        <span class="unit">chosen on the others, scored on this one</span>
      </header>
      {held === null ? (
        <p class="quiet">{lone}</p>
      ) : (
        <>
          <table class="figures-table">
            <thead>
              <tr>
                <th scope="col">left out</th>
                <th scope="col">chosen</th>
                <Heads columns={columns} />
              </tr>
            </thead>
            <tbody>
              {held.folds.map((fold, i) => (
                <FoldRow
                  // Two takes may have one title.
                  key={i}
                  fold={fold}
                  isWorst={fold === held.worst && wrongIn(fold, columns) > 0}
                  view={view}
                />
              ))}
            </tbody>
            <tfoot>
              <tr>
                <th scope="row" colSpan={2}>
                  sum
                </th>
                <PartCells wrong={held.wrong} columns={columns} />
              </tr>
            </tfoot>
          </table>
          <p class="quiet">{heldWords(view.problem.kind, held, columns)}</p>
        </>
      )}
    </div>
  );
}

function FoldRow<Part extends string>({
  fold,
  isWorst,
  view: { columns, problem },
}: {
  readonly fold: Fold<Part>;
  readonly isWorst: boolean;
  readonly view: View<Part>;
}) {
  const { setting } = fold;
  return (
    <tr class={isWorst ? 'is-worst' : ''}>
      <th scope="row">
        {fold.name}
        {isWorst && <span class="worst"> worst</span>}
      </th>
      {setting === null ? (
        <td colSpan={columns.length + 1} class="quiet">
          {lackText(problem.kind, fold)}
        </td>
      ) : (
        <>
          <td class="setting">{PROBLEM_WORDS[problem.kind].brief(setting.x, setting.y)}</td>
          <PartCells wrong={fold.wrong} columns={columns} />
        </>
      )}
    </tr>
  );
}

/** n = 0 is no evidence, and says so. */
function PartCells({
  wrong,
  columns,
}: {
  readonly wrong: Readonly<Record<string, KOfN>>;
  readonly columns: readonly CountColumn[];
}) {
  return (
    <>
      {columns.map(({ part, isBad, isPlainCount }) => {
        const { k, n } = wrong[part]!;
        return n === 0 ? (
          <td key={part} class="quiet">
            none
          </td>
        ) : (
          <td key={part} class={isBad && k > 0 ? 'bad' : ''}>
            {isPlainCount ? k : `${k} / ${n}`}
          </td>
        );
      })}
    </>
  );
}

/** What turns round under stress, and what to do about it; '' where nothing does. */
export function flipsText<Part extends string>(
  { moreFires }: Pick<View<Part>, 'moreFires'>,
  stress: ChoiceResult<Part>['stress'],
): string {
  const flips = stress.reduce((sum, one) => sum + one.flips, 0);
  const more = stress.reduce((sum, one) => sum + one.moreFires, 0);
  const turns = [
    ...(flips === 0 ? [] : [`${counted(flips, 'verdict turns', 'verdicts turn')} round`]),
    ...(more === 0 ? [] : [`${counted(more, 'more fire comes', 'more fires come')} ${moreFires ?? ''}`]),
  ];
  if (turns.length === 0) return '';
  const worst = stress.reduce((most, one) => (one.flips > most.flips ? one : most));
  const most = worst.flips === 0 ? '' : `, most of them (${worst.flips}) with ${STRESS_WORDS[worst.name]}`;
  return `The suggestion flips under stress: ${turns.join(', and ')}${most}. Keep further from the edge, or record more.`;
}

/** The verdicts again under what may differ on another day. */
function StressTable<Part extends string, Why>({
  view,
  result: { stress, stressed },
}: {
  readonly view: View<Part>;
  readonly result: ChoiceResult<Part, Why>;
}) {
  const { judged } = PROBLEM_WORDS[view.problem.kind];
  const columns = view.columns.filter(({ isBad }) => isBad);
  const flips = flipsText(view, stress);
  return (
    <div>
      <header>
        <h2>Under stress</h2>
        <span class="unit">the same setting, the {judged} judged again</span>
      </header>
      {stressed === 0 ? (
        <p class="quiet">Being tried…</p>
      ) : (
        <>
          <table class="figures-table">
            <thead>
              <tr>
                <th scope="col">if</th>
                <Heads columns={columns} />
                <th scope="col" title={`Of the ${judged}, those whose verdict turns round`}>
                  flips
                </th>
              </tr>
            </thead>
            <tbody>
              {stress.map((one) => (
                <tr key={one.name} class={one.flips > 0 ? 'is-worst' : ''}>
                  <th scope="row">{STRESS_WORDS[one.name]}</th>
                  {[...columns.map(({ part }) => one.wrong[part as Part]), one.flips].map((count, i) => (
                    <td key={i} class={count > 0 ? 'bad' : ''}>
                      {count}
                    </td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
          <p class={flips === '' ? 'good' : 'bad'}>
            {flips === '' ? 'No verdict flips: the suggestion stands.' : flips}
          </p>
        </>
      )}
    </div>
  );
}
