import type { SmoothingCost } from '../../../server/engine/check/smoothingCost.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { linePath, rangeOf } from '../../charts/scale.ts';
import { PlotCard } from '../plot/PlotCard.tsx';
import { curvePlaces, useReadout } from '../plot/readout.ts';
import { SwingBand } from '../signal/SpectrumPlot.tsx';

const SLOT_LINES = ['is-a', 'is-b'];

/** The take's own spectrum, raw and as each candidate's detectors see it. */
export function BeforeAfterPlot(props: {
  readonly costs: readonly SmoothingCost[];
  /** Whose each is. */
  readonly names: readonly string[];
}) {
  const { costs } = props;
  const lines = [
    { name: 'raw', line: 'is-raw' },
    ...props.names.map((name, k) => ({ name, line: SLOT_LINES[k]! })),
  ];
  const spectra = costs.flatMap(({ spectrum }) => spectrum ?? []);
  const [first] = spectra;
  const frequencyHz = first?.frequencyHz.subarray(1) ?? new Float64Array(0);
  const readout = useReadout(curvePlaces(frequencyHz), (k) => {
    const values = [first!.before, ...spectra.map(({ after }) => after)].map(
      (density, line) => `${lines[line]!.name} ${density[k + 1]!.toPrecision(2)}`,
    );
    return `${figure(frequencyHz[k]!)} Hz: ${values.join(', ')}`;
  });
  if (!first) {
    const why = costs.length === 0 ? 'Measuring…' : 'No stretch of this take is long enough for a spectrum.';
    return <p class="card pad quiet">{why}</p>;
  }
  const [, highest] = rangeOf(first.before.subarray(1), 'log');
  const points = (density: Float64Array) => [...frequencyHz].map((hz, k) => [hz, density[k + 1]!] as const);
  return (
    <PlotCard
      title="Spectrum of this take"
      says="Turning across the blade, before and after smoothing."
      x={{ kind: 'log', range: [frequencyHz[0]!, frequencyHz.at(-1)!], label: 'frequency, Hz' }}
      y={{ kind: 'log', range: [highest * 1e-9, highest], label: '(°/s)²/Hz' }}
      legend={lines.slice(0, 1 + spectra.length)}
      readout={readout}
    >
      {(area) => (
        <>
          <SwingBand area={area} />
          <path class="curve is-raw" d={linePath(area, points(first.before))} />
          {spectra.map(({ after }, k) => (
            <path key={SLOT_LINES[k]} class={`curve ${SLOT_LINES[k]}`} d={linePath(area, points(after))} />
          ))}
        </>
      )}
    </PlotCard>
  );
}
