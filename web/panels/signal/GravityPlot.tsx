import { DEG_PER_RAD } from '../../../server/engine/base/units.ts';
import type { GravityTest } from '../../../server/engine/calibrate/gravityTest.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { Plot } from './Plot.tsx';
import { place } from './scale.ts';

/** What a slope at these places would mean. */
const MEANINGS = [
  { at: 1 / DEG_PER_RAD, text: '°/s read as rad/s', anchor: 'start' },
  { at: 1, text: 'right', anchor: 'middle' },
  { at: DEG_PER_RAD, text: 'rad/s read as °/s', anchor: 'end' },
] as const;

/** The factor by which the gyro's rates would have to be multiplied to keep gravity where it is. */
export function GravityPlot({ test }: { readonly test: GravityTest }) {
  const { slope, low, high } = test;
  return (
    <Plot
      title="Gravity test: slope of the gyro"
      says={sentence(test)}
      x={{ kind: 'log', range: [0.005, 200], label: 'factor that keeps gravity where it is' }}
      y={{ kind: 'linear', range: [0, 1], label: '' }}
      isFlat
    >
      {({ x, y }) => (
        <>
          {MEANINGS.map(({ at, text, anchor }) => (
            <g key={text} class={`small-meaning ${at === 1 ? 'is-right' : ''}`}>
              <path d={`M${place(x, at)} ${y.from}V${y.to + 15}`} />
              <text
                x={anchor === 'middle' ? place(x, at) : anchor === 'start' ? x.from + 2 : x.to - 2}
                y={y.to + 9}
                text-anchor={anchor}
              >
                {text}
              </text>
            </g>
          ))}
          {slope !== null && low !== null && high !== null && (
            <g class="small-slope">
              <path
                d={`M${place(x, Math.max(low, x.min))} ${place(y, 0.32)}H${place(x, Math.min(high, x.max))}`}
              />
              <circle cx={place(x, slope)} cy={place(y, 0.32)} r="4" />
            </g>
          )}
        </>
      )}
    </Plot>
  );
}

function sentence({ slope, low, high, fit, pairs }: GravityTest): string {
  if (slope === null || low === null || high === null) return 'No slope: this take does not tell.';
  return `Slope ${figure(slope)} (at least 95 %: ${figure(low)} to ${figure(high)}), ${figure(100 * fit)} % explained, from ${pairs} stretches of four seconds.`;
}
