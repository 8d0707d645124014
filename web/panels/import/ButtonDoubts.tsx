import type { ButtonDoubt, Preview } from '../../../server/http/schemas.ts';

const TURNED_WORDS: Readonly<Record<string, string>> = {
  activeHigh: 'It is down while high (1)',
  activeLow: 'It is down while low (0)',
};

interface ButtonDoubtsProps {
  readonly preview: Preview;
  onTurn(doubt: ButtonDoubt, unit: string): void;
  onLeave(doubt: ButtonDoubt): void;
}

/**
 * Doubts about the buttons, with what can be done: a button read the wrong way round makes every judgement of its
 * presses wrong.
 */
export function ButtonDoubts({ preview, onTurn, onLeave }: ButtonDoubtsProps) {
  const doubts = preview.report?.buttonDoubts ?? [];
  if (doubts.length === 0) return null;
  const columns = doubts.filter((doubt, i) => doubts.findIndex((own) => isSame(own, doubt)) === i);
  return (
    <section class="caution-box" aria-label="Buttons in doubt">
      {columns.map((column) => (
        <div key={`${column.file}.${column.index}`}>
          {doubts
            .filter((own) => isSame(own, column))
            .map(({ text }) => (
              <p key={text}>{text.endsWith('?') ? text : `${text}.`}</p>
            ))}
          <p class="problem-actions">
            {column.turned !== null && (
              <button type="button" onClick={() => onTurn(column, column.turned!)}>
                {TURNED_WORDS[column.turned]}
              </button>
            )}
            <button type="button" onClick={() => onLeave(column)}>
              “{column.name}” is no button
            </button>
          </p>
        </div>
      ))}
    </section>
  );
}

function isSame(a: ButtonDoubt, b: ButtonDoubt): boolean {
  return a.file === b.file && a.index === b.index;
}
