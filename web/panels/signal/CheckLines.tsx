import type { WordedLine } from '../../../server/engine/words/check/check.ts';
import { Fold } from '../Fold.tsx';
import { STATE_WORDS, StateMark } from './StateMark.tsx';

/** The lines that need a look; what passes is one line, with its words on asking. */
export function CheckLines({ lines }: { readonly lines: readonly WordedLine[] }) {
  const failed = lines.filter(({ state }) => state === 'fail');
  const doubtful = lines.filter(({ state }) => state === 'caution');
  const passed = lines.filter(({ state }) => state === 'pass');
  const toLookAt = [...failed, ...doubtful];
  return (
    <div class="card check-lines">
      {toLookAt.length > 0 && (
        <section aria-label="To look at">
          <h2>
            To look at <span class="unit">{toLookAt.length}</span>
          </h2>
          <List lines={toLookAt} />
        </section>
      )}
      {passed.length > 0 && (
        <section class="check-passed" aria-label="In order">
          <StateMark state="pass" />
          <div>
            <p>
              <b>{passed.length} in order:</b> {passed.map(({ name }) => name.toLowerCase()).join(', ')}.
            </p>
            <Fold name="What was found">
              <List lines={passed} />
            </Fold>
          </div>
        </section>
      )}
    </div>
  );
}

function List({ lines }: { readonly lines: readonly WordedLine[] }) {
  return (
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
  );
}
