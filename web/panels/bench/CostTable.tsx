import type { ComponentChildren } from 'preact';
import { useMemo } from 'preact/hooks';
import { type SmoothingCost, SPIKE_DPS } from '../../../server/engine/check/smoothingCost.ts';
import { noisePassed } from '../../../server/engine/check/smoothingNoise.ts';
import {
  rampDelayMs,
  type SmoothingSettings,
  smoothingDelayMs,
} from '../../../server/engine/filter/smoothing.ts';
import { counted, fixed } from '../../../server/engine/words/count.ts';

export interface CostProps {
  /** Whose each smoothing is: “A and B” where both smooth alike. */
  readonly names: readonly string[];
  readonly rateHz: number;
  readonly smoothings: readonly SmoothingSettings[];
  /** One for each smoothing, once known. */
  readonly costs: readonly (SmoothingCost | undefined)[];
}

const DELAYS_HZ = [0.5, 1, 2, 5];

type Group = readonly [string, readonly string[]];

const SPREAD = ['median', 'worst'];
/** Two tables of six columns each: one is too wide. */
const MEASURED: readonly Group[] = [
  ['Peak speed lost, %', SPREAD],
  ['Rise comes late, ms', SPREAD],
  ['Wrong sample left, %', SPREAD],
];
const KNOWN: readonly Group[] = [
  ['White noise', ['left, %', 'width, Hz']],
  ['Delay in ms at', DELAYS_HZ.map((hz) => `${hz} Hz`)],
];

/** The cost of each candidate's smoothing, in figures. */
export function CostTable({ rateHz, names, smoothings, costs }: CostProps) {
  const n = costs[0]?.swings;
  return (
    <section class="card cost" aria-label="All figures of smoothing">
      <header>
        <h2>What it costs on this take</h2>
        <span class="unit">{n === undefined ? 'measuring…' : counted(n, 'swing')}</span>
      </header>
      <Table groups={MEASURED}>
        {costs.map((cost, k) => (
          <Row key={names[k]} name={names[k]!}>
            <MeasuredCells cost={cost} />
          </Row>
        ))}
      </Table>
      <Table groups={KNOWN}>
        {smoothings.map((smoothing, k) => (
          <Row key={names[k]} name={names[k]!}>
            <NoiseCells smoothing={smoothing} rateHz={rateHz} />
            <DelayCells smoothing={smoothing} rateHz={rateHz} />
          </Row>
        ))}
      </Table>
      <p class="quiet">
        A rise is timed at half of its raw peak. A wrong sample reads {SPIKE_DPS} °/s too much. Noise: what is
        left of its power, and how wide a band that is.
      </p>
    </section>
  );
}

function Table({
  groups,
  children,
}: {
  readonly groups: readonly Group[];
  readonly children: ComponentChildren;
}) {
  return (
    <table>
      <thead>
        <tr>
          <td rowSpan={2} />
          {groups.map(([group, names]) => (
            <th key={group} scope="colgroup" colSpan={names.length}>
              {group}
            </th>
          ))}
        </tr>
        <tr>
          {groups.flatMap(([group, names]) =>
            names.map((name) => (
              <th key={`${group} ${name}`} scope="col">
                {name}
              </th>
            )),
          )}
        </tr>
      </thead>
      <tbody>{children}</tbody>
    </table>
  );
}

function Row({ name, children }: { readonly name: string; readonly children: ComponentChildren }) {
  return (
    <tr data-slot={name.toLowerCase().slice(0, 1)}>
      <th scope="row">{name}</th>
      {children}
    </tr>
  );
}

function MeasuredCells({ cost }: { readonly cost: SmoothingCost | undefined }) {
  const { peakLoss, latencyMs, spikeLeft } = cost ?? {};
  return (
    <>
      <Cell id="peak median" value={peakLoss && 100 * peakLoss.median} />
      <Cell id="peak worst" value={peakLoss && 100 * peakLoss.worst} />
      <Cell id="rise median" value={latencyMs?.median} />
      <Cell id="rise worst" value={latencyMs?.worst} />
      <Cell id="wrong median" value={spikeLeft && 100 * spikeLeft.median} />
      <Cell id="wrong worst" value={spikeLeft && 100 * spikeLeft.worst} />
    </>
  );
}

interface KnownProps {
  readonly smoothing: SmoothingSettings;
  readonly rateHz: number;
}

function NoiseCells({ smoothing, rateHz }: KnownProps) {
  const { powerPart, bandwidthHz } = useMemo(() => noisePassed(smoothing, rateHz), [smoothing, rateHz]);
  return (
    <>
      <Cell id="noise left" value={100 * powerPart} />
      <Cell id="noise width" value={bandwidthHz} />
    </>
  );
}

function DelayCells({ smoothing, rateHz }: KnownProps) {
  const delays = DELAYS_HZ.map((hz) => smoothingDelayMs(smoothing, rateHz, hz));
  if (delays.includes(null)) {
    return (
      <td class="cost-none" colSpan={DELAYS_HZ.length} data-figure="delay">
        at no frequency; a steady rise: {shown(rampDelayMs(smoothing, rateHz))}
      </td>
    );
  }
  return (
    <>
      {delays.map((ms, k) => (
        <Cell key={DELAYS_HZ[k]} id={`delay ${DELAYS_HZ[k]}`} value={ms} />
      ))}
    </>
  );
}

function Cell({ id, value }: { readonly id: string; readonly value: number | null | undefined }) {
  return <td data-figure={id}>{shown(value)}</td>;
}

/** One decimal, with no minus before a zero; a dash for what is not known. */
function shown(value: number | null | undefined): string {
  if (value === null || value === undefined) return '–';
  return fixed(value, 1);
}
