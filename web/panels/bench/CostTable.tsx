import { useMemo } from 'preact/hooks';
import type { SmoothingSettings } from '../../../server/engine/candidate.ts';
import { type SmoothingCost, SPIKE_DPS } from '../../../server/engine/check/smoothingCost.ts';
import { noisePassed } from '../../../server/engine/check/smoothingNoise.ts';
import { rampDelayMs, smoothingDelayMs } from '../../../server/engine/filter/smoothing.ts';

interface CostTableProps {
  readonly rateHz: number;
  readonly smoothings: readonly SmoothingSettings[];
  /** One for each smoothing, once known. */
  readonly costs: readonly (SmoothingCost | undefined)[];
}

const DELAYS_HZ = [0.5, 1, 2, 5];

const SPREAD = ['median', 'worst'];
const GROUPS: readonly (readonly [string, readonly string[]])[] = [
  ['Peak speed lost, %', SPREAD],
  ['Rise comes late, ms', SPREAD],
  ['Wrong sample left, %', SPREAD],
  ['White noise', ['left, %', 'width, Hz']],
  ['Delay in ms at', DELAYS_HZ.map((hz) => `${hz} Hz`)],
];

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
            {GROUPS.map(([group, names]) => (
              <th key={group} scope="colgroup" colSpan={names.length}>
                {group}
              </th>
            ))}
          </tr>
          <tr>
            {GROUPS.flatMap(([group, names]) =>
              names.map((name) => (
                <th key={`${group} ${name}`} scope="col">
                  {name}
                </th>
              )),
            )}
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
      <p class="quiet">
        Each swing’s rise is timed at half of its raw peak. A wrong sample reads {SPIKE_DPS} °/s too much;
        what is left of it is told at its worst moment, at places all over the take. White noise: the part of
        its power that is left, and how wide a band that is.
      </p>
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
  const { peakLoss, latencyMs, spikeLeft } = cost ?? {};
  const { powerPart, bandwidthHz } = useMemo(() => noisePassed(smoothing, rateHz), [smoothing, rateHz]);
  const figures = {
    'peak median': peakLoss && 100 * peakLoss.median,
    'peak worst': peakLoss && 100 * peakLoss.worst,
    'rise median': latencyMs?.median,
    'rise worst': latencyMs?.worst,
    'spike median': spikeLeft && 100 * spikeLeft.median,
    'spike worst': spikeLeft && 100 * spikeLeft.worst,
    'noise power': 100 * powerPart,
    'noise width': bandwidthHz,
  };
  return (
    <tr>
      <th scope="row">{name}</th>
      {Object.entries(figures).map(([id, value]) => (
        <td key={id} data-figure={id}>
          {shown(value)}
        </td>
      ))}
      <DelayCells smoothing={smoothing} rateHz={rateHz} />
    </tr>
  );
}

function DelayCells({
  smoothing,
  rateHz,
}: {
  readonly smoothing: SmoothingSettings;
  readonly rateHz: number;
}) {
  const delays = DELAYS_HZ.map((hz) => smoothingDelayMs(smoothing, rateHz, hz));
  if (delays.includes(null)) {
    return (
      <td class="cost-none" colSpan={DELAYS_HZ.length} data-figure="delay">
        none: a steady rise {shown(rampDelayMs(smoothing, rateHz))} late
      </td>
    );
  }
  return (
    <>
      {delays.map((ms, k) => (
        <td key={DELAYS_HZ[k]} data-figure={`delay ${DELAYS_HZ[k]}`}>
          {shown(ms)}
        </td>
      ))}
    </>
  );
}

/** One decimal, with no minus before a zero; a dash for what is not known. */
function shown(value: number | null | undefined): string {
  if (value === null || value === undefined) return '–';
  return (Number(value.toFixed(1)) + 0).toFixed(1).replace('-', '−');
}
