import type { StepHistogram } from '../../../server/engine/check/clock.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { PlotCard } from '../plot/PlotCard.tsx';
import { curvePlaces, useReadout } from '../plot/readout.ts';

/** How the steps between stamps scatter about the usual one. */
export function StepPlot({ steps }: { readonly steps: StepHistogram }) {
  const { fromMs, toMs, counts, shorter, longer } = steps;
  const most = Math.max(1, ...counts);
  const width = (toMs - fromMs) / counts.length;
  const outside = shorter + longer > 0 ? ` ${shorter} shorter and ${longer} longer ones lie outside.` : '';
  const middlesMs = counts.map((_count, bin) => fromMs + (bin + 0.5) * width);
  const readout = useReadout(
    curvePlaces(middlesMs),
    (bin) => `${figure(middlesMs[bin]!, 4)} ms: ${counts[bin]}`,
  );
  return (
    <PlotCard
      title="Steps between stamps"
      says={`Usual step ${figure(steps.nominalMs, 4)} ms, scatter ${figure(steps.jitterMs, 2)} ms.${outside}`}
      x={{ range: [fromMs, toMs], label: 'step, ms' }}
      y={{ kind: 'log', range: [0.7, Math.max(10, most * 1.5)], label: 'steps' }}
      readout={readout}
    >
      {({ x, y, height }) =>
        counts.map((count, bin) => {
          if (count === 0) return null;
          const [left, right] = [x(fromMs + bin * width), x(fromMs + (bin + 1) * width)];
          const top = y(count);
          return (
            <rect
              key={bin}
              class="plot-bar"
              x={left}
              y={top}
              width={Math.max(1, right - left - 1)}
              height={Math.max(0, height - top)}
            />
          );
        })
      }
    </PlotCard>
  );
}
