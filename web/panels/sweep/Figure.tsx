import type { Wrong } from '../../../server/engine/choose/claim.ts';

/** One figure of a suggestion. */
export function Figure({
  name,
  value,
  note,
}: {
  readonly name: string;
  readonly value: string;
  readonly note?: string;
}) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        <b>{value}</b>
        {note && <span class="quiet"> {note}</span>}
      </dd>
    </div>
  );
}

/** k of n with Wilson's interval, which holds about 95 times in 100. */
export function countWords({ k, n, interval }: Pick<Wrong, 'k' | 'n' | 'interval'>): {
  value: string;
  note: string;
} {
  const percent = (share: number) => (share * 100).toFixed(0);
  return {
    value: `${k} / ${n}`,
    note: interval ? `about 95 %: ${percent(interval.low)}–${percent(interval.high)} %` : '',
  };
}
