import { smoothingGainDb } from '../../../server/engine/check/smoothingResponse.ts';
import { SWING_BAND_HZ } from '../../../server/engine/check/spectrum.ts';
import {
  rampDelayMs,
  type SmoothingSettings,
  smoothingApplies,
  smoothingDelayMs,
} from '../../../server/engine/filter/smoothing.ts';
import { figure } from '../../../server/engine/words/count.ts';
import type { PlotArea } from '../../charts/scale.ts';
import { linePath } from '../../charts/scale.ts';
import { PlotCard } from '../plot/PlotCard.tsx';
import { curvePlaces, type Readout, useReadout } from '../plot/readout.ts';
import { SwingBand } from '../signal/SpectrumPlot.tsx';

interface ResponseProps {
  readonly rateHz: number;
  /** Candidate A's, and B's where it is shown. */
  readonly smoothings: readonly SmoothingSettings[];
  /** Whose each is. */
  readonly names: readonly string[];
}

const FROM_HZ = 0.25;
const FLOOR_DB = -48;
const POINTS = 160;
const POINTS_OF_LOBES = 1200;
const SLOT_LINES = ['is-a', 'is-b'];

/** Gain of the smoothing at each frequency. */
export function ResponsePlot({ rateHz, smoothings, names }: ResponseProps) {
  const toHz = rateHz / 2;
  const readout = useSlotReadout(toHz, smoothings, names, 'dB', (one, hz) =>
    smoothingGainDb(one, rateHz, hz),
  );
  const at5 = smoothings.flatMap((one) => {
    const db = smoothingGainDb(one, rateHz, SWING_BAND_HZ[1]);
    return db === null ? [] : [figure(db, 2)];
  });
  const says =
    at5.length > 0 ? [`At ${SWING_BAND_HZ[1]} Hz, the swing band’s end: ${at5.join(' and ')} dB.`] : [];
  return (
    <PlotCard
      title="Response"
      says={[...says, ...noResponseWords(smoothings, names, rateHz)].join(' ')}
      x={{ kind: 'log', range: [FROM_HZ, toHz], label: 'frequency, Hz' }}
      y={{ range: [FLOOR_DB, 4], label: 'dB' }}
      legend={keyOf(names)}
      readout={readout}
    >
      {(area) => (
        <>
          <SwingBand area={area} />
          {smoothings.map((one, k) => {
            const points = frequencies(FROM_HZ, toHz, one).flatMap((hz) => {
              const db = smoothingGainDb(one, rateHz, hz);
              return db === null ? [] : [[hz, db] as const];
            });
            return <SlotLine key={SLOT_LINES[k]} slot={k} area={area} points={points} />;
          })}
        </>
      )}
    </PlotCard>
  );
}

/** How late each frequency of a swing comes through. */
export function DelayPlot({ rateHz, smoothings, names }: ResponseProps) {
  const toHz = Math.min(20, rateHz / 2);
  const readout = useSlotReadout(toHz, smoothings, names, 'ms', (one, hz) =>
    smoothingDelayMs(one, rateHz, hz),
  );
  const series = smoothings.map((one) =>
    frequencies(FROM_HZ, toHz, one).flatMap((hz) => {
      const ms = smoothingDelayMs(one, rateHz, hz);
      return ms === null ? [] : [[hz, ms] as const];
    }),
  );
  const most = Math.max(1, ...series.flat().map(([, ms]) => ms));
  const across = smoothings.flatMap((one) => {
    const [slow, fast] = SWING_BAND_HZ.map((hz) => smoothingDelayMs(one, rateHz, hz));
    return slow == null || fast == null ? [] : [spread(figure(slow, 3), figure(fast, 3))];
  });
  const says = across.length > 0 ? [`In the swing band: ${across.join(' and ')}.`] : [];
  return (
    <PlotCard
      title="Delay"
      says={[...says, ...rampWords(smoothings, names, rateHz)].join(' ')}
      x={{ kind: 'log', range: [FROM_HZ, toHz], label: 'frequency, Hz' }}
      y={{ range: [0, most * 1.15], label: 'ms' }}
      legend={keyOf(names)}
      readout={readout}
    >
      {(area) => (
        <>
          <SwingBand area={area} />
          {series.map((points, k) => (
            <SlotLine key={SLOT_LINES[k]} slot={k} area={area} points={points} />
          ))}
        </>
      )}
    </PlotCard>
  );
}

function SlotLine(props: { slot: number; area: PlotArea; points: readonly (readonly [number, number])[] }) {
  return <path class={`curve ${SLOT_LINES[props.slot]}`} d={linePath(props.area, props.points)} />;
}

/** Value of each candidate's curve at a frequency; a median has none. */
function useSlotReadout(
  toHz: number,
  smoothings: readonly SmoothingSettings[],
  names: readonly string[],
  unit: string,
  of: (one: SmoothingSettings, hz: number) => number | null,
): Readout {
  const hz = spacedEvenly(FROM_HZ, toHz, POINTS);
  return useReadout(curvePlaces(hz), (k) => {
    const values = smoothings.map((one, slot) => {
      const value = of(one, hz[k]!);
      return `${names[slot]!} ${value === null ? '–' : figure(value)}`;
    });
    return `${figure(hz[k]!)} Hz: ${values.join(', ')} ${unit}`;
  });
}

function spread(slow: string, fast: string): string {
  return slow === fast ? `${slow} ms` : `${slow} to ${fast} ms`;
}

/** The lines' names, for the legend. */
function keyOf(names: readonly string[]) {
  return names.map((name, k) => ({ name, line: SLOT_LINES[k]! }));
}

/** Why a line is missing: a median treats no frequency by itself. */
function noResponseWords(
  smoothings: readonly SmoothingSettings[],
  names: readonly string[],
  rateHz: number,
): string[] {
  return mediansOf(smoothings, names, rateHz).map(
    ({ name }) => `${name} is a median: it has no frequency response. See below what it does on this take.`,
  );
}

function rampWords(
  smoothings: readonly SmoothingSettings[],
  names: readonly string[],
  rateHz: number,
): string[] {
  return mediansOf(smoothings, names, rateHz).map(
    ({ name, one }) =>
      `${name}, a median, has no delay at a frequency; a steady rise comes ${figure(rampDelayMs(one, rateHz))} ms late.`,
  );
}

function mediansOf(smoothings: readonly SmoothingSettings[], names: readonly string[], rateHz: number) {
  return smoothings.flatMap((one, k) =>
    one.kind === 'median' && smoothingApplies(one, rateHz) ? [{ name: names[k]!, one }] : [],
  );
}

/** Evenly spaced on a logarithmic axis; closer for a moving average, whose response has many lobes. */
function frequencies(fromHz: number, toHz: number, { kind }: SmoothingSettings): number[] {
  const count = kind === 'movingAverage' ? POINTS_OF_LOBES : POINTS;
  return spacedEvenly(fromHz, toHz, count);
}

function spacedEvenly(fromHz: number, toHz: number, count: number): number[] {
  return Array.from({ length: count }, (_, k) => fromHz * (toHz / fromHz) ** ((k + 0.5) / count));
}
