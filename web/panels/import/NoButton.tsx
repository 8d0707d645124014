import type { ColumnMapping, Preview } from '../../../server/http/schemas.ts';

interface NoButtonProps {
  readonly preview: Preview;
  onTake(column: Pick<ColumnMapping, 'file' | 'index'>): void;
}

/** Without a button the guard is judged by motion alone: the columns that may be one, or how to record one. */
export function NoButton({ preview, onTake }: NoButtonProps) {
  if (preview.mapping.columns.some(({ role }) => role === 'button')) return null;
  const { buttonCandidates } = preview;
  return (
    <section class="caution-box" aria-label="No button">
      <p>
        <b>No column is a button.</b> Without presses Sweep judges the guard by spins and stops alone, and
        says so; swings, deflections, stabs and twists need none.
      </p>
      {buttonCandidates.length > 0 ? (
        <p class="problem-actions">
          Is one of these the power button?
          {buttonCandidates.map((column) => (
            <button key={`${column.file}.${column.index}`} type="button" onClick={() => onTake(column)}>
              Take “{column.name}” as the button
              {column.changes ? '' : ' (one state only at the beginning)'}
            </button>
          ))}
        </p>
      ) : (
        <p>
          In the rows looked at, no column shows two states. If one is the button even so, say so in the table
          below. Else log the power button as a column of 0 and 1, or as a file of its own with a time and the
          button’s state in each row: drop it here and join it to this take.
        </p>
      )}
    </section>
  );
}
