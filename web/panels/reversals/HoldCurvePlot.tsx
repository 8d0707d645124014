import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import type { HoldCurve } from '../../../server/engine/explain/reversalRows.ts';
import { linePath, type Point } from '../../charts/scale.ts';
import { KeyMark } from '../KeyMark.tsx';
import { PlotFrame } from '../plot/PlotFrame.tsx';
import { curvePlaces, useReadout } from '../plot/readout.ts';
import { CandidateMarks, pathsOf } from '../sweep/candidateMarks.tsx';

type Quantile = 'medianMs' | 'p90Ms' | 'p95Ms' | 'maxMs';

const QUANTILES: readonly { readonly of: Quantile; readonly name: string; readonly words: string }[] = [
  { of: 'maxMs', name: 'all', words: 'all of them' },
  { of: 'p95Ms', name: '95 %', words: '95 %' },
  { of: 'p90Ms', name: '90 %', words: '90 %' },
  { of: 'medianMs', name: 'half', words: 'half of them' },
];

/** Longer holds are cut off, where the curves rise steeply and nobody looks. */
const MOST_MS = 600;

/** The hold that it takes to stay closed through half, 90 %, 95 % and all reversals, against the guard's speed. */
export function HoldCurvePlot({ curve, holdTop }: { readonly curve: HoldCurve; readonly holdTop: number }) {
  const { speedsDps } = curve;
  const readout = useReadout(
    curvePlaces(speedsDps),
    (k) =>
      `${speedsDps[k]} °/s: ${QUANTILES.map(({ of, name }) => `${name} ${holdText(curve[of][k]!)}`).join(', ')}`,
    false,
  );
  const { at } = readout;
  const last = speedsDps.findLastIndex((_speed, i) => Number.isFinite(curve.medianMs[i]!));
  const right = Math.max(300, speedsDps[Math.max(0, last)]! + 40);
  const finite = QUANTILES.flatMap(({ of }) => [...curve[of]].filter((value) => Number.isFinite(value)));
  const top = Math.max(200, holdTop, Math.min(MOST_MS, Math.max(0, ...finite))) * 1.08;
  return (
    <>
      <PlotFrame
        x={{ range: [speedsDps[0]!, right], label: 'guard closes at, °/s' }}
        y={{ range: [0, top], label: 'hold needed, ms' }}
        label="Hold needed to stay closed through reversals, against the guard’s speed"
        readout={readout}
        over={(area) => <CandidateMarks area={area} paths={pathsOf(GUARD)} />}
      >
        {(area) =>
          QUANTILES.map(({ of }) => (
            <path key={of} class={`curve is-${of}`} d={linePath(area, heldPoints(curve, of, right, top))} />
          ))
        }
      </PlotFrame>
      <p class="curve-legend">
        {QUANTILES.map(({ of, name }) => (
          <span key={of}>
            <KeyMark width={22} height={8}>
              <path class={`curve is-${of}`} d="M-11 0H11" />
            </KeyMark>
            {name}
            {at !== null && <b> {holdText(curve[of][at]!)}</b>}
          </span>
        ))}
        <span class="quiet">
          {at === null ? `of ${curve.reversals} reversals` : `at ${speedsDps[at]} °/s`}
        </span>
      </p>
    </>
  );
}

/** A line for every stretch where there is a hold; where it ends, no hold helps so many. */
function heldPoints({ speedsDps, ...curve }: HoldCurve, of: Quantile, right: number, top: number): Point[] {
  return [...speedsDps].map((speedDps, i) => {
    const ms = curve[of][i]!;
    return [speedDps, ms <= top && speedDps <= right ? ms : Number.NaN];
  });
}

function holdText(ms: number): string {
  return Number.isFinite(ms) ? `${Math.ceil(ms - 1e-6)} ms` : 'no hold';
}
