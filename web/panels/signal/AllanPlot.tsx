import type { RestNoise } from '../../../server/engine/check/allan.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { Plot } from './Plot.tsx';
import { linePath, rangeOf } from './scale.ts';

const LINES = ['is-x', 'is-y', 'is-z'];

/** Allan deviation of the gyro at rest: white noise falls, drift rises. */
export function AllanPlot({ noise }: { readonly noise: RestNoise | null }) {
  if (!noise) return <MissingRest />;
  const gyro = noise.curves.filter(({ key }) => key.startsWith('gyro'));
  const all = gyro.flatMap(({ points }) => points);
  return (
    <Plot
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
      legend={gyro.map(({ name }, k) => ({ name: name.replace('gyro ', ''), line: LINES[k]! }))}
    >
      {({ x, y }) =>
        gyro.map(({ key, points }, k) => (
          <path
            key={key}
            class={`small-line ${LINES[k]}`}
            d={linePath(
              x,
              y,
              points.map(({ tauS, deviation }) => [tauS, deviation] as const),
            )}
          />
        ))
      }
    </Plot>
  );
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
    <figure class="card small-plot is-missing">
      <figcaption>
        <h3>Gyro at rest: Allan deviation</h3>
      </figcaption>
      <p class="small-says">Needs a second at rest in one piece. Begin a take with two seconds on a table.</p>
    </figure>
  );
}
