import type { LeverArmFit } from '../../../server/engine/calibrate/leverArm.ts';
import { figure } from '../../../server/engine/words/count.ts';
import { rangeOf } from '../../charts/scale.ts';
import { PlotCard } from '../plot/PlotCard.tsx';
import { pointPlaces, useReadout } from '../plot/readout.ts';

const REACH_PX = 14;

/** The lever arm of each stretch of swinging, against its speed. */
export function ArmPlot({ lever, setM }: { readonly lever: LeverArmFit | null; readonly setM: number }) {
  const stretches = lever?.stretches ?? [];
  const points = stretches.map((one) => [one.peakDps, one.leverArmM] as const);
  const readout = useReadout(pointPlaces(points, REACH_PX), (k) =>
    stretches[k] ? `${figure(stretches[k].peakDps)} °/s: ${figure(stretches[k].leverArmM)} m` : '',
  );
  if (!lever) return null;
  const { leverArmM, lowM, highM } = lever;
  const speeds = stretches.map(({ peakDps }) => peakDps);
  const [low, high] = rangeOf([...stretches.map((one) => one.leverArmM), lowM, highM, setM], 'linear');
  return (
    <PlotCard
      title="Lever arm, swing by swing"
      says={`${figure(leverArmM)} m over all; each ring is a stretch of swinging. Shaded: interval of the whole, at least 95 %; dashed: what is set.`}
      x={{ range: [0, Math.max(...speeds) * 1.06], label: 'peak speed, °/s' }}
      y={{ range: [low, high], label: 'lever arm, m' }}
      readout={readout}
    >
      {({ x, y, width }) => (
        <>
          <rect
            class="plot-band is-arm"
            width={width}
            y={y(highM)}
            height={Math.max(1, y(lowM) - y(highM))}
          />
          <path class="curve is-set" d={`M0 ${y(setM)}H${width}`} />
          {stretches.map((one) => (
            <circle key={one.startUs} class="plot-dot" cx={x(one.peakDps)} cy={y(one.leverArmM)} r="3" />
          ))}
        </>
      )}
    </PlotCard>
  );
}
