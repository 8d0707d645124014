import { DEG_PER_RAD } from '../../../server/engine/base/units.ts';
import type { GravityTest } from '../../../server/engine/calibrate/gravityTest.ts';
import { figure, percent } from '../../../server/engine/words/count.ts';
import { PlotCard } from '../plot/PlotCard.tsx';

/** Meaning of a slope at these places. */
const MEANINGS = [
  { at: 1 / DEG_PER_RAD, text: '°/s read as rad/s', anchor: 'start' },
  { at: 1, text: 'right', anchor: 'middle' },
  { at: DEG_PER_RAD, text: 'rad/s read as °/s', anchor: 'end' },
] as const;

/** The factor by which the gyro's rates would have to be multiplied to keep gravity where it is. */
export function GravityPlot({ test }: { readonly test: GravityTest }) {
  const { slope, low, high } = test;
  return (
    <PlotCard
      title="Gravity test: slope of the gyro"
      says={sentence(test)}
      x={{ kind: 'log', range: [0.005, 200], label: 'factor that keeps gravity where it is' }}
      y={{ range: [0, 1], label: '' }}
      isFlat
    >
      {({ x, y, width, height }) => (
        <>
          {MEANINGS.map(({ at, text, anchor }) => (
            <g key={text} class={`plot-meaning ${at === 1 ? 'is-right' : ''}`}>
              <path d={`M${x(at)} ${height}V15`} />
              <text
                x={anchor === 'middle' ? x(at) : anchor === 'start' ? 2 : width - 2}
                y={9}
                text-anchor={anchor}
              >
                {text}
              </text>
            </g>
          ))}
          {slope !== null && low !== null && high !== null && (
            <g class="plot-slope">
              <path d={`M${x(Math.max(low, x.low))} ${y(0.32)}H${x(Math.min(high, x.high))}`} />
              <circle cx={x(slope)} cy={y(0.32)} r="4" />
            </g>
          )}
        </>
      )}
    </PlotCard>
  );
}

function sentence({ slope, low, high, fit, pairs }: GravityTest): string {
  if (slope === null || low === null || high === null) return 'No slope: this take does not tell.';
  return `Slope ${figure(slope)} (at least 95 %: ${figure(low)} to ${figure(high)}), ${percent(fit)} explained, from ${pairs} stretches of four seconds.`;
}
