import type { StepHistogram } from '../../../server/engine/check/clock.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { Plot } from './Plot.tsx';
import { place } from './scale.ts';

/** How the steps between stamps scatter about the usual one. */
export function StepPlot({ steps }: { readonly steps: StepHistogram }) {
  const { fromMs, toMs, counts, shorter, longer } = steps;
  const most = Math.max(1, ...counts);
  const width = (toMs - fromMs) / counts.length;
  const outside = shorter + longer > 0 ? ` ${shorter} shorter and ${longer} longer ones lie outside.` : '';
  return (
    <Plot
      title="Steps between stamps"
      says={`Usual step ${figure(steps.nominalMs, 4)} ms, scatter ${figure(steps.jitterMs, 2)} ms.${outside}`}
      x={{ kind: 'linear', range: [fromMs, toMs], label: 'step, ms' }}
      y={{ kind: 'log', range: [0.7, Math.max(10, most * 1.5)], label: 'steps' }}
    >
      {({ x, y }) => {
        const base = y.from;
        return counts.map((count, bin) => {
          if (count === 0) return null;
          const [left, right] = [place(x, fromMs + bin * width), place(x, fromMs + (bin + 1) * width)];
          const top = place(y, count);
          return (
            <rect
              key={bin}
              class="small-bar"
              x={left}
              y={top}
              width={Math.max(1, right - left - 1)}
              height={Math.max(0, base - top)}
            />
          );
        });
      }}
    </Plot>
  );
}
