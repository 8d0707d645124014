import type { LeverArmFit } from '../../../server/engine/calibrate/leverArm.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { Plot } from './Plot.tsx';
import { place, rangeOf } from './scale.ts';

/** The lever arm of each stretch of swinging, against its speed. */
export function ArmPlot({ lever, setM }: { readonly lever: LeverArmFit | null; readonly setM: number }) {
  if (!lever) return null;
  const { stretches, leverArmM, lowM, highM } = lever;
  const speeds = stretches.map(({ peakDps }) => peakDps);
  const [low, high] = rangeOf([...stretches.map((one) => one.leverArmM), lowM, highM, setM], 'linear');
  return (
    <Plot
      title="Lever arm, swing by swing"
      says={`${figure(leverArmM)} m over all; each ring is a stretch of swinging. Shaded: interval of the whole, at least 95 %; dashed: what is set.`}
      x={{ kind: 'linear', range: [0, Math.max(...speeds) * 1.06], label: 'peak speed, °/s' }}
      y={{ kind: 'linear', range: [low, high], label: 'lever arm, m' }}
    >
      {({ x, y }) => (
        <>
          <rect
            class="small-band is-arm"
            x={x.from}
            width={x.to - x.from}
            y={place(y, highM)}
            height={Math.max(1, place(y, lowM) - place(y, highM))}
          />
          <path class="small-line is-set" d={`M${x.from} ${place(y, setM)}H${x.to}`} />
          {stretches.map((one) => (
            <circle
              key={one.startUs}
              class="small-dot"
              cx={place(x, one.peakDps)}
              cy={place(y, one.leverArmM)}
              r="3"
            />
          ))}
        </>
      )}
    </Plot>
  );
}
