import { signed } from '../../../server/engine/words/count.ts';
import type { LedgerEntry, Preview } from '../../../server/http/schemas.ts';

type Reading = LedgerEntry['readings'][number];

/** How each question came out, in a few words. */
const OUTCOMES: Readonly<Record<LedgerEntry['outcome'], string>> = {
  taken: 'taken',
  alike: 'several are right: the first is taken',
  guessed: 'a guess: check it',
  stated: 'as you stated',
  asked: 'asked: nothing leads clearly enough',
};

/** The evidence for each possible reading of the log; folded unless something is asked. */
export function LedgerTable({ preview }: { readonly preview: Preview }) {
  const { ledger } = preview;
  if (ledger.length === 0) return null;
  const isAsked = ledger.some(({ outcome }) => outcome === 'asked');
  return (
    <details class="ledger" open={isAsked}>
      <summary>What speaks for this reading, and what against</summary>
      <p>
        Each piece of evidence counts for a reading (+) or against it (−); a lead of 2 means about seven to
        one. Where the lead is smaller, you are asked.
      </p>
      {ledger.map((entry) => (
        <Question key={entry.question} entry={entry} />
      ))}
    </details>
  );
}

function Question({ entry }: { readonly entry: LedgerEntry }) {
  const { question, readings, outcome } = entry;
  return (
    <table aria-label={question} class={`is-${outcome}`}>
      <caption>
        {question} <small>{outcomeOf(entry)}</small>
      </caption>
      <thead>
        <tr>
          <th scope="col">Reading</th>
          <th scope="col">Sum</th>
          <th scope="col">For</th>
          <th scope="col">Against</th>
        </tr>
      </thead>
      <tbody>
        {readings.map((reading, i) => (
          <tr key={reading.reading} class={i === 0 && outcome !== 'asked' ? 'is-taken' : ''}>
            <th scope="row">{reading.reading}</th>
            <td class="sum">{signed(reading.sum, 1)}</td>
            <td>
              <Items of={reading} sign={1} />
            </td>
            <td>
              <Items of={reading} sign={-1} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function outcomeOf({ outcome, lead }: LedgerEntry): string {
  const words = OUTCOMES[outcome];
  if (lead === null) return outcome === 'taken' ? 'nothing else is possible' : words;
  return `${words}; lead ${signed(lead, 1)}`;
}

function Items({ of, sign }: { readonly of: Reading; readonly sign: 1 | -1 }) {
  const items = of.evidence.filter(({ weight }) => Math.sign(weight) === sign);
  return (
    <ul>
      {items.map(({ text, weight }) => (
        <li key={text}>
          <b>{signed(weight, 1)}</b> {text}
        </li>
      ))}
    </ul>
  );
}
