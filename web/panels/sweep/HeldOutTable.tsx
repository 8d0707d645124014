import type { ComponentChildren } from 'preact';
import type { Fold, HeldOut, Part } from '../../../server/engine/choose/leaveOut.ts';
import { type HeldColumn, heldWords, wrongIn } from './heldWords.ts';

/** The choice made without one take or performer, scored on what was left out. */
export function HeldOutTable<Setting, Name extends string>(props: {
  readonly title: string;
  readonly held: HeldOut<Setting, Name> | null;
  /** What to say where there is nothing to leave out. */
  readonly lone: string;
  readonly heads: ComponentChildren;
  readonly columns: readonly HeldColumn<Name>[];
  /** What is counted, in the singular. */
  readonly unit?: string;
  settingText(setting: Setting): string;
}) {
  const { title, held, lone, heads, columns, unit, settingText } = props;
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
                {heads}
              </tr>
            </thead>
            <tbody>
              {held.folds.map((fold, i) => (
                <FoldRow
                  // Two takes may have one title.
                  key={i}
                  fold={fold}
                  isWorst={fold === held.worst && wrongIn(fold, columns) > 0}
                  columns={columns}
                  settingText={settingText}
                />
              ))}
            </tbody>
            <tfoot>
              <tr>
                <th scope="row" colSpan={2}>
                  sum
                </th>
                <PartCells parts={held} columns={columns} />
              </tr>
            </tfoot>
          </table>
          <p class="quiet">{heldWords(held, columns, unit)}</p>
        </>
      )}
    </div>
  );
}

function FoldRow<Setting, Name extends string>(props: {
  readonly fold: Fold<Setting, Name>;
  readonly isWorst: boolean;
  readonly columns: readonly HeldColumn<Name>[];
  settingText(setting: Setting): string;
}) {
  const { fold, isWorst, columns, settingText } = props;
  return (
    <tr class={isWorst ? 'is-worst' : ''}>
      <th scope="row">
        {fold.name}
        {isWorst && <span class="worst"> worst</span>}
      </th>
      {fold.setting === null ? (
        <td colSpan={columns.length + 1} class="quiet">
          {fold.why}
        </td>
      ) : (
        <>
          <td class="setting">{settingText(fold.setting)}</td>
          <PartCells parts={fold} columns={columns} />
        </>
      )}
    </tr>
  );
}

function PartCells<Name extends string>({
  parts,
  columns,
}: {
  readonly parts: Readonly<Record<Name, Part>>;
  readonly columns: readonly HeldColumn<Name>[];
}) {
  return (
    <>
      {columns.map((column) => (
        <PartCell key={column.name} part={parts[column.name]} {...column} />
      ))}
    </>
  );
}

/** n = 0 is no evidence, and says so. */
function PartCell({ part, isBad, isPlainCount }: { readonly part: Part } & Omit<HeldColumn<string>, 'name'>) {
  if (part.n === 0) return <td class="quiet">none</td>;
  return <td class={isBad && part.k > 0 ? 'bad' : ''}>{isPlainCount ? part.k : `${part.k} / ${part.n}`}</td>;
}
