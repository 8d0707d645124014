import type { ComponentChildren } from 'preact';

export interface StressLine {
  /** What differs from the day of the recording. */
  readonly words: string;
  /** What comes out wrong, column by column. */
  readonly wrong: readonly number[];
  readonly flips: number;
}

/** The verdicts again under what may differ on another day. */
export function StressTable(props: {
  /** What is judged again: presses, or swings. */
  readonly judged: string;
  readonly lines: readonly StressLine[];
  readonly stressed: number;
  readonly heads: ComponentChildren;
  /** What else than a flip the stress does, as a clause; null where nothing. */
  readonly also?: string | null;
}) {
  const { judged, lines, stressed, heads, also = null } = props;
  const flips = lines.reduce((sum, line) => sum + line.flips, 0);
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
                {heads}
                <th scope="col" title={`Of the ${judged}, those whose verdict turns round`}>
                  flips
                </th>
              </tr>
            </thead>
            <tbody>
              {lines.map((line) => (
                <Row key={line.words} line={line} />
              ))}
            </tbody>
          </table>
          <p class={flips === 0 && also === null ? 'good' : 'bad'}>{stressText(flips, also)}</p>
        </>
      )}
    </div>
  );
}

function stressText(flips: number, also: string | null): string {
  if (flips === 0 && also === null) return 'No verdict flips: the suggestion stands.';
  const turns = flips === 0 ? [] : [`${flips} ${flips === 1 ? 'verdict turns' : 'verdicts turn'} round`];
  const all = [...turns, ...(also === null ? [] : [also])].join(', and ');
  return `The suggestion flips: ${all}. Keep further from the edge, or record more.`;
}

function Row({ line }: { readonly line: StressLine }) {
  return (
    <tr class={line.flips > 0 ? 'is-worst' : ''}>
      <th scope="row">{line.words}</th>
      {[...line.wrong, line.flips].map((count, i) => (
        <td key={i} class={count > 0 ? 'bad' : ''}>
          {count}
        </td>
      ))}
    </tr>
  );
}
