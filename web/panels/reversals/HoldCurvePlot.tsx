import { useState } from 'preact/hooks';
import type { HoldCurve } from '../../../server/engine/explain/reversalRows.ts';
import { KeyMark } from '../KeyMark.tsx';
import { type PlotArea, PlotFrame } from '../plot/PlotFrame.tsx';
import { CandidateMarks, GUARD_PATHS } from '../sweep/candidateMarks.tsx';

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
  const [at, setAt] = useState<number | null>(null);
  const { speedsDps } = curve;
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
        onPointer={(place, area) => setAt(place && indexAt(area.x.invert(place.x), speedsDps))}
        over={(area) => <CandidateMarks area={area} paths={GUARD_PATHS} />}
      >
        {(area) => (
          <>
            {QUANTILES.map(({ of }) => (
              <path key={of} class={`quantile is-${of}`} d={curvePath(curve, of, area, top)} />
            ))}
            {at !== null && (
              <line
                class="read-line"
                x1={area.x(speedsDps[at]!)}
                x2={area.x(speedsDps[at]!)}
                y2={area.height}
              />
            )}
          </>
        )}
      </PlotFrame>
      <p class="curve-legend">
        {QUANTILES.map(({ of, name }) => (
          <span key={of}>
            <KeyMark width={22} height={8}>
              <path class={`quantile is-${of}`} d="M-11 0H11" />
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
function curvePath({ speedsDps, ...curve }: HoldCurve, of: Quantile, area: PlotArea, top: number): string {
  let path = '';
  let isDown = false;
  speedsDps.forEach((speedDps, i) => {
    const ms = curve[of][i]!;
    const x = area.x(speedDps);
    if (!(ms <= top) || x > area.width) {
      isDown = false;
      return;
    }
    path += `${isDown ? 'L' : 'M'}${x.toFixed(1)} ${area.y(ms).toFixed(1)}`;
    isDown = true;
  });
  return path;
}

function holdText(ms: number): string {
  return Number.isFinite(ms) ? `${Math.ceil(ms - 1e-6)} ms` : 'no hold';
}

function indexAt(speedDps: number, speedsDps: readonly number[]): number {
  const step = speedsDps[1]! - speedsDps[0]!;
  return Math.min(speedsDps.length - 1, Math.max(0, Math.round((speedDps - speedsDps[0]!) / step)));
}
