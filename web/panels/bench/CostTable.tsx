import type { SmoothingSettings } from '../../../server/engine/candidate.ts';
import type { SmoothingCost } from '../../../server/engine/check/smoothingCost.ts';
import { smoothingDelayMs } from '../../../server/engine/filter/smoothing.ts';

interface CostTableProps {
  readonly rateHz: number;
  readonly smoothings: readonly SmoothingSettings[];
  /** One for each smoothing, once known. */
  readonly costs: readonly (SmoothingCost | undefined)[];
}

const DELAYS_HZ = [0.5, 1, 2, 5];

/** What each candidate's smoothing costs, in figures. */
export function CostTable({ rateHz, smoothings, costs }: CostTableProps) {
  const n = costs[0]?.swings;
  return (
    <section class="card cost" aria-label="What smoothing costs">
      <header>
        <h2>What it costs on this take</h2>
        <span class="unit">{n === undefined ? 'measuring…' : n === 1 ? '1 swing' : `${n} swings`}</span>
      </header>
      <table>
        <thead>
          <tr>
            <td rowSpan={2} />
            <th scope="colgroup" colSpan={2}>
              Peak speed lost, %
            </th>
            <th scope="colgroup" colSpan={2}>
              Rise comes late, ms
            </th>
            <th scope="colgroup" colSpan={DELAYS_HZ.length}>
              Delay in ms at
            </th>
          </tr>
          <tr>
            {['median', 'worst', 'median', 'worst'].map((name, k) => (
              <th key={k} scope="col">
                {name}
              </th>
            ))}
            {DELAYS_HZ.map((hz) => (
              <th key={hz} scope="col">
                {hz} Hz
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {smoothings.map((smoothing, k) => (
            <CostRow
              key={k === 0 ? 'a' : 'b'}
              name={k === 0 ? 'A' : 'B'}
              smoothing={smoothing}
              cost={costs[k]}
              rateHz={rateHz}
            />
          ))}
        </tbody>
      </table>
      <p class="quiet">Each swing’s rise is timed at half of its raw peak.</p>
    </section>
  );
}

function CostRow(props: {
  name: string;
  smoothing: SmoothingSettings;
  cost: SmoothingCost | undefined;
  rateHz: number;
}) {
  const { name, smoothing, cost, rateHz } = props;
  const { peakLoss, latencyMs } = cost ?? {};
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{shown(peakLoss && 100 * peakLoss.median)}</td>
      <td>{shown(peakLoss && 100 * peakLoss.worst)}</td>
      <td>{shown(latencyMs?.median)}</td>
      <td>{shown(latencyMs?.worst)}</td>
      {DELAYS_HZ.map((hz) => (
        <td key={hz}>{shown(smoothingDelayMs(smoothing, rateHz, hz))}</td>
      ))}
    </tr>
  );
}

/** One decimal, with no minus before a zero; a dash for what is not known. */
function shown(value: number | null | undefined): string {
  if (value === null || value === undefined) return '–';
  return (Number(value.toFixed(1)) + 0).toFixed(1).replace('-', '−');
}
