import type { RestNoise } from '../../../server/engine/check/allan.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { linePath, rangeOf } from '../../charts/scale.ts';
import { PlotCard } from '../plot/PlotCard.tsx';
import { curvePlaces, useReadout } from '../plot/readout.ts';

const LINES = ['is-x', 'is-y', 'is-z'];

/** Allan deviation of the gyro at rest: white noise falls, drift rises. */
export function AllanPlot({ noise }: { readonly noise: RestNoise | null }) {
  const gyro = noise?.curves.filter(({ key }) => key.startsWith('gyro')) ?? [];
  const tausS = gyro[0]?.points.map(({ tauS }) => tauS) ?? [];
  const readout = useReadout(curvePlaces(tausS), (k) => {
    const values = gyro.map(
      ({ name, points }) => `${axisOf(name)} ${figure(points[k]?.deviation ?? Number.NaN)}`,
    );
    return `${figure(tausS[k]!)} s: ${values.join(', ')} °/s`;
  });
  if (!noise) return <MissingRest />;
  const all = gyro.flatMap(({ points }) => points);
  return (
    <PlotCard
      title="Gyro at rest: Allan deviation"
      says={sentence(noise)}
      x={{
        kind: 'log',
        range: rangeOf(
          all.map(({ tauS }) => tauS),
          'log',
          false,
        ),
        label: 'averaged over, s',
      }}
      y={{
        kind: 'log',
        range: rangeOf(
          all.map(({ deviation }) => deviation),
          'log',
        ),
        label: '°/s',
      }}
      legend={gyro.map(({ name }, k) => ({ name: axisOf(name), line: LINES[k]! }))}
      readout={readout}
    >
      {(area) =>
        gyro.map(({ key, points }, k) => (
          <path
            key={key}
            class={`curve ${LINES[k]}`}
            d={linePath(
              area,
              points.map(({ tauS, deviation }) => [tauS, deviation] as const),
            )}
          />
        ))
      }
    </PlotCard>
  );
}

function axisOf(name: string): string {
  return name.replace('gyro ', '');
}

function sentence({ restS, gyro }: RestNoise): string {
  const white =
    gyro.densityPerRootHz === null
      ? 'no part falls like white noise'
      : `white noise ${figure(gyro.densityPerRootHz, 2)} °/s/√Hz`;
  const flat = gyro.biasInstability
    ? `flattest ${figure(gyro.biasInstability.value, 2)} °/s at ${figure(gyro.biasInstability.tauS, 2)} s`
    : gyro.densityPerRootHz === null
      ? 'nor lies any flat: a longer rest would tell more'
      : 'still falling at its end: a longer rest would show the drift';
  return `From ${figure(restS, 2)} s at rest: ${white}; ${flat}.`;
}

function MissingRest() {
  return (
    <figure class="card plot-card">
      <figcaption>
        <h3>Gyro at rest: Allan deviation</h3>
      </figcaption>
      <p class="plot-says">Needs a second at rest in one piece. Begin a take with two seconds on a table.</p>
    </figure>
  );
}
