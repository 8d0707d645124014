import { useState } from 'preact/hooks';
import { type SpectrumData, SWING_BAND_HZ } from '../../../server/engine/check/spectrum.ts';
import { figure } from '../../../server/engine/words/count.ts';
import type { PlotArea } from '../../charts/scale.ts';
import { linePath, rangeOf } from '../../charts/scale.ts';
import { PlotCard } from '../plot/PlotCard.tsx';
import { curvePlaces, useReadout } from '../plot/readout.ts';

const KINDS = {
  rate: { name: 'turning', unit: '(°/s)²/Hz', line: 'is-rate' },
  force: { name: 'force', unit: 'g²/Hz', line: 'is-force' },
} as const;

/** Power spectrum of turning or of force, the band of swings shaded. */
export function SpectrumPlot({ spectrum }: { readonly spectrum: SpectrumData | null }) {
  const [kind, setKind] = useState<keyof typeof KINDS>('rate');
  const hz = spectrum?.frequencyHz.subarray(1) ?? NOTHING;
  const readout = useReadout(curvePlaces(hz), (k) => {
    const value = (kind === 'rate' ? spectrum!.rateDensity : spectrum!.forceDensity)[k + 1]!;
    return `${figure(hz[k]!)} Hz: ${value.toPrecision(2)} ${KINDS[kind].unit}`;
  });
  if (!spectrum) return null;
  const density = kind === 'rate' ? spectrum.rateDensity : spectrum.forceDensity;
  const points = [...spectrum.frequencyHz].map((hz, k) => [hz, density[k]!] as const).slice(1);
  const [lowest, highest] = rangeOf(density.subarray(1), 'log');
  const half = spectrum.frequencyHz.at(-1)!;
  return (
    <div class="plot-with-choice">
      <PlotCard
        title="Power spectrum"
        says={`Mean of ${spectrum.blocks} blocks, up to ${figure(half)} Hz; the band of swings, ${SWING_BAND_HZ[0]} to ${SWING_BAND_HZ[1]} Hz, is shaded.`}
        x={{ kind: 'log', range: [spectrum.frequencyHz[1]!, half], label: 'frequency, Hz' }}
        y={{ kind: 'log', range: [Math.max(lowest, highest * 1e-9), highest], label: KINDS[kind].unit }}
        readout={readout}
      >
        {(area) => (
          <>
            <SwingBand area={area} />
            <path class={`curve ${KINDS[kind].line}`} d={linePath(area, points)} />
          </>
        )}
      </PlotCard>
      <span class="choices" role="group" aria-label="Spectrum of">
        {(['rate', 'force'] as const).map((id) => (
          <button key={id} type="button" class="small" aria-pressed={id === kind} onClick={() => setKind(id)}>
            {KINDS[id].name}
          </button>
        ))}
      </span>
    </div>
  );
}

export function SwingBand({ area }: { readonly area: PlotArea }) {
  const { x, height } = area;
  const [from, to] = SWING_BAND_HZ.map((hz) => x(Math.min(x.high, Math.max(x.low, hz))));
  return <rect class="plot-band" x={from} width={Math.max(0, to! - from!)} height={height} />;
}

const NOTHING = new Float64Array(0);
