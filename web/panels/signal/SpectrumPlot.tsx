import { useState } from 'preact/hooks';
import { type SpectrumData, SWING_BAND_HZ } from '../../../server/engine/check/spectrum.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { Plot, type PlotScales } from './Plot.tsx';
import { linePath, place, rangeOf } from './scale.ts';

const KINDS = {
  rate: { name: 'turning', unit: '(°/s)²/Hz', line: 'is-rate' },
  force: { name: 'force', unit: 'g²/Hz', line: 'is-force' },
} as const;

/** Power spectrum of turning or of force, the band of swings shaded. */
export function SpectrumPlot({ spectrum }: { readonly spectrum: SpectrumData | null }) {
  const [kind, setKind] = useState<keyof typeof KINDS>('rate');
  if (!spectrum) return null;
  const density = kind === 'rate' ? spectrum.rateDensity : spectrum.forceDensity;
  const points = [...spectrum.frequencyHz].map((hz, k) => [hz, density[k]!] as const).slice(1);
  const [lowest, highest] = rangeOf(density.subarray(1), 'log');
  const half = spectrum.frequencyHz.at(-1)!;
  return (
    <div class="small-with-choice">
      <Plot
        title="Power spectrum"
        says={`Mean of ${spectrum.blocks} blocks, up to ${figure(half)} Hz; the band of swings, ${SWING_BAND_HZ[0]} to ${SWING_BAND_HZ[1]} Hz, is shaded.`}
        x={{ kind: 'log', range: [spectrum.frequencyHz[1]!, half], label: 'frequency, Hz' }}
        y={{ kind: 'log', range: [Math.max(lowest, highest * 1e-9), highest], label: KINDS[kind].unit }}
      >
        {(scales) => (
          <>
            <SwingBand {...scales} />
            <path class={`small-line ${KINDS[kind].line}`} d={linePath(scales.x, scales.y, points)} />
          </>
        )}
      </Plot>
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

export function SwingBand({ x, y }: PlotScales) {
  const [from, to] = SWING_BAND_HZ.map((hz) => place(x, Math.min(x.max, Math.max(x.min, hz)))) as [
    number,
    number,
  ];
  return <rect class="small-band" x={from} y={y.to} width={Math.max(0, to - from)} height={y.from - y.to} />;
}
