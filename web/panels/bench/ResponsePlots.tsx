import type { SmoothingSettings } from '../../../server/engine/candidate.ts';
import { figure } from '../../../server/engine/check/figures.ts';
import { smoothingGainDb } from '../../../server/engine/check/smoothingResponse.ts';
import { SWING_BAND_HZ } from '../../../server/engine/check/spectrum.ts';
import { smoothingDelayMs } from '../../../server/engine/filter/smoothing.ts';
import { Plot } from '../signal/Plot.tsx';
import { SwingBand } from '../signal/SpectrumPlot.tsx';
import { linePath } from '../signal/scale.ts';

interface ResponseProps {
  readonly rateHz: number;
  /** Candidate A's, and B's where it is shown. */
  readonly smoothings: readonly SmoothingSettings[];
}

const FROM_HZ = 0.25;
const FLOOR_DB = -48;
const POINTS = 160;
const SLOT_LINES = ['is-a', 'is-b'];
export const SLOT_KEY = [
  { name: 'A', line: 'is-a' },
  { name: 'B', line: 'is-b' },
];

/** How much of each frequency the smoothing lets through. */
export function ResponsePlot({ rateHz, smoothings }: ResponseProps) {
  const toHz = rateHz / 2;
  const at5 = smoothings.map((one) => figure(smoothingGainDb(one, rateHz, SWING_BAND_HZ[1]), 2));
  return (
    <Plot
      title="Response"
      says={`At ${SWING_BAND_HZ[1]} Hz, the upper end of the swing band: ${at5.join(' and ')} dB.`}
      x={{ kind: 'log', range: [FROM_HZ, toHz], label: 'frequency, Hz' }}
      y={{ kind: 'linear', range: [FLOOR_DB, 4], label: 'dB' }}
      legend={SLOT_KEY.slice(0, smoothings.length)}
    >
      {(scales) => (
        <>
          <SwingBand {...scales} />
          {smoothings.map((one, k) => {
            const points = frequencies(FROM_HZ, toHz).map(
              (hz) => [hz, smoothingGainDb(one, rateHz, hz)] as const,
            );
            return (
              <path
                key={SLOT_LINES[k]}
                class={`small-line ${SLOT_LINES[k]}`}
                d={linePath(scales.x, scales.y, points)}
              />
            );
          })}
        </>
      )}
    </Plot>
  );
}

/** How late each frequency of a swing comes through. */
export function DelayPlot({ rateHz, smoothings }: ResponseProps) {
  const toHz = Math.min(20, rateHz / 2);
  const series = smoothings.map((one) =>
    frequencies(FROM_HZ, toHz).map((hz) => [hz, smoothingDelayMs(one, rateHz, hz)] as const),
  );
  const most = Math.max(1, ...series.flat().map(([, ms]) => ms));
  const across = smoothings.map((one) => {
    const [slow, fast] = SWING_BAND_HZ.map((hz) => figure(smoothingDelayMs(one, rateHz, hz), 3));
    return slow === fast ? `${slow} ms` : `${slow} to ${fast} ms`;
  });
  return (
    <Plot
      title="Delay"
      says={`In the swing band: ${across.join(' and ')}.`}
      x={{ kind: 'log', range: [FROM_HZ, toHz], label: 'frequency, Hz' }}
      y={{ kind: 'linear', range: [0, most * 1.15], label: 'ms' }}
      legend={SLOT_KEY.slice(0, smoothings.length)}
    >
      {(scales) => (
        <>
          <SwingBand {...scales} />
          {series.map((points, k) => (
            <path
              key={SLOT_LINES[k]}
              class={`small-line ${SLOT_LINES[k]}`}
              d={linePath(scales.x, scales.y, points)}
            />
          ))}
        </>
      )}
    </Plot>
  );
}

/** Evenly spaced on a logarithmic axis. */
function frequencies(fromHz: number, toHz: number): number[] {
  return Array.from({ length: POINTS }, (_, k) => fromHz * (toHz / fromHz) ** ((k + 0.5) / POINTS));
}
