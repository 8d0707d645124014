import type { SmoothingCost } from '../../../server/engine/check/smoothingCost.ts';
import { Plot } from '../signal/Plot.tsx';
import { SwingBand } from '../signal/SpectrumPlot.tsx';
import { linePath, rangeOf } from '../signal/scale.ts';

/** The take's own spectrum, raw and as each candidate's detectors see it. */
export function BeforeAfterPlot({ costs }: { readonly costs: readonly SmoothingCost[] }) {
  const spectra = costs.flatMap(({ spectrum }) => spectrum ?? []);
  const [first] = spectra;
  if (!first) {
    const why = costs.length === 0 ? 'Measuring…' : 'No stretch of this take is long enough for a spectrum.';
    return <p class="card pad quiet">{why}</p>;
  }
  const [, highest] = rangeOf(first.before.subarray(1), 'log');
  const points = (density: Float64Array) =>
    [...first.frequencyHz].map((hz, k) => [hz, density[k]!] as const).slice(1);
  return (
    <Plot
      title="Spectrum of this take"
      says="Turning across the blade, before and after smoothing."
      x={{ kind: 'log', range: [first.frequencyHz[1]!, first.frequencyHz.at(-1)!], label: 'frequency, Hz' }}
      y={{ kind: 'log', range: [highest * 1e-9, highest], label: '(°/s)²/Hz' }}
      legend={[
        { name: 'raw', line: 'is-raw' },
        { name: 'A', line: 'is-a' },
        ...(spectra.length > 1 ? [{ name: 'B', line: 'is-b' }] : []),
      ]}
    >
      {(scales) => (
        <>
          <SwingBand {...scales} />
          <path class="small-line is-raw" d={linePath(scales.x, scales.y, points(first.before))} />
          {spectra.map(({ after }, k) => (
            <path
              key={k === 0 ? 'a' : 'b'}
              class={`small-line ${k === 0 ? 'is-a' : 'is-b'}`}
              d={linePath(scales.x, scales.y, points(after))}
            />
          ))}
        </>
      )}
    </Plot>
  );
}
