import type { WordedLine } from '../../../server/engine/words/check/check.ts';
import { STATE_WORDS, StateMark } from './StateMark.tsx';

/** The lines that need a look first, the rest below. */
export function CheckLines({ lines }: { readonly lines: readonly WordedLine[] }) {
  const failed = lines.filter(({ state }) => state === 'fail');
  const doubtful = lines.filter(({ state }) => state === 'caution');
  const passed = lines.filter(({ state }) => state === 'pass');
  return (
    <div class="card check-lines">
      <Group title="To look at" lines={[...failed, ...doubtful]} />
      <Group title="In order" lines={passed} />
    </div>
  );
}

function Group({ title, lines }: { readonly title: string; readonly lines: readonly WordedLine[] }) {
  if (lines.length === 0) return null;
  return (
    <section aria-label={title}>
      <h2>
        {title} <span class="unit">{lines.length}</span>
      </h2>
      <ul>
        {lines.map((line) => (
          <li key={line.id} class={`check-line is-${line.state}`} data-check={line.id}>
            <StateMark state={line.state} />
            <div>
              <h3>
                {line.name} <span class={`state-word is-${line.state}`}>{STATE_WORDS[line.state]}</span>
              </h3>
              <p class={`finding is-${line.state}`}>{line.finding}</p>
              {line.advice !== '' && <p class="advice">{line.advice}</p>}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
