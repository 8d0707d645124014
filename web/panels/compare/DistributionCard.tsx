import { useState } from 'preact/hooks';
import { mergeSorted, shareBelow } from '../../../server/engine/compare/distribution.ts';
import { quantileSorted } from '../../../server/engine/statistics/sorted.ts';
import { percent } from '../../../server/engine/words/count.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import { KeyMark } from '../KeyMark.tsx';
import { type Grouping, GroupingChoice, groupOf } from './GroupingChoice.tsx';
import { numberOf, SpeedChart, type SpeedSeries, styleOf } from './SpeedChart.tsx';
import { lineName, type SpeedLine, speedLines } from './speedLines.ts';

/** How fast swings are, by performer or by take, and how many of them each threshold leaves below. */
export function DistributionCard({ takes }: { readonly takes: readonly ComparedTake[] }) {
  const [grouping, setGrouping] = useState<Grouping>('performer');
  const [chosen, setChosen] = useState<string | null>(null);
  const known = takes.filter((take) => take.facts !== null);
  const series = seriesOf(known, grouping);
  const lines = speedLines();
  const clipped = known.reduce((sum, { facts }) => sum + facts!.clippedPeaks, 0);
  return (
    <section class="card compare-card" aria-label="Swing speeds">
      <header>
        <h2>Swing speeds</h2>
        <span class="unit">part of the swings at or below a peak speed</span>
        <GroupingChoice name="One line for each" takes={takes} grouping={grouping} onChange={setGrouping} />
      </header>
      {series.length === 0 ? (
        <p class="card-text">
          {known.length < takes.length
            ? 'Finding swings…'
            : 'No take holds a swing: record single swings and a spin.'}
        </p>
      ) : (
        <>
          <SpeedChart series={series} lines={lines} chosen={chosen} />
          <div class="table-scroll is-short">
            <SharesTable series={series} lines={lines} grouping={grouping} onChosen={setChosen} />
          </div>
          {clipped > 0 && (
            <p class="card-text quiet">{clipped} of these peaks are clipped: those swings were faster.</p>
          )}
        </>
      )}
    </section>
  );
}

function SharesTable(props: {
  readonly series: readonly SpeedSeries[];
  readonly lines: readonly SpeedLine[];
  readonly grouping: Grouping;
  onChosen(name: string | null): void;
}) {
  return (
    <table class="shares">
      <thead>
        <tr>
          <th scope="col" class="grouping">
            {props.grouping}
          </th>
          <th scope="col">swings</th>
          <th scope="col">median</th>
          {props.lines.map((line) => (
            <th key={`${line.kind} ${line.slots.join()}`} scope="col" class={`across-${line.kind}`}>
              below {lineName(line)}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {props.series.map((one, i) => (
          <tr
            key={one.name}
            onPointerEnter={() => props.onChosen(one.name)}
            onPointerLeave={() => props.onChosen(null)}
          >
            <th scope="row">
              <KeyMark width={30} height={8}>
                <path class={`curve is-${styleOf(i, props.series.length)}`} d="M-14 0H14" />
              </KeyMark>
              {numberOf(i, props.series.length) !== null && <b class="series-number">{i + 1} </b>}
              {one.name}
            </th>
            <td>{one.peaksDps.length}</td>
            <td>{quantileSorted(one.peaksDps, 0.5).toFixed(0)} °/s</td>
            {props.lines.map((line) => (
              <td key={`${line.kind} ${line.slots.join()}`}>
                {shareText(shareBelow(one.peaksDps, line.speedDps))}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function shareText(share: number | null): string {
  return share === null ? '–' : percent(share, 0);
}

function seriesOf(takes: readonly ComparedTake[], grouping: Grouping): SpeedSeries[] {
  const groups = new Map<string, Float64Array[]>();
  for (const take of takes) {
    const name = groupOf(take, grouping);
    groups.set(name, [...(groups.get(name) ?? []), take.facts!.peaksDps]);
  }
  return [...groups]
    .map(([name, columns]) => ({ name, peaksDps: mergeSorted(columns) }))
    .filter(({ peaksDps }) => peaksDps.length > 0);
}
