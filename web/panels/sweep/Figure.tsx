import type { KOfN, ProblemKind } from '../../../server/engine/choose/problem.ts';
import type { Unfit } from '../../../server/engine/choose/unfit.ts';
import { poissonInterval } from '../../../server/engine/statistics/poisson.ts';
import { intervalOf } from '../../../server/engine/words/choose/suggestion.ts';
import { percentRange } from '../../../server/engine/words/count.ts';
import { shownMs } from './layers.ts';
import type { FigureWords } from './maps/mapView.ts';

/** One figure of a suggestion. */
export function Figure({ name, value, note }: FigureWords) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        <b>{value}</b>
        {note && <span class="quiet"> {note}</span>}
      </dd>
    </div>
  );
}

/** k of n with its interval: by motion an exact one, which holds at least 95 times in 100, else one that does about as often. */
export function countFigure(kind: ProblemKind, name: string, count: KOfN): FigureWords {
  const interval = intervalOf(kind, count);
  const sure = kind === 'motion' ? 'at least' : 'about';
  return {
    name,
    value: `${count.k} / ${count.n}`,
    note: interval ? `${sure} 95 %: ${percentRange(interval)}` : '',
  };
}

/** How often outside what should fire, and how often a minute that may be. */
export function outsideFigure(
  name: string,
  outside: number,
  evidence: readonly { readonly outsideS: number; readonly unfit: Unfit | null }[],
): FigureWords {
  const seconds = evidence.reduce((sum, take) => sum + (take.unfit === null ? take.outsideS : 0), 0);
  if (seconds < 1) return { name, value: `${outside}`, note: 'hardly any time outside to judge by' };
  const { low, high } = poissonInterval(outside);
  const aMinute = (count: number) => ((count * 60) / seconds).toFixed(1);
  return {
    name,
    value: `${outside} in ${seconds.toFixed(0)} s`,
    note: `at least 95 %: ${aMinute(low)}–${aMinute(high)} a minute`,
  };
}

/** Nothing where nothing fires. */
export function delayFigure({
  delayMedianMs = null,
}: {
  readonly delayMedianMs?: number | null;
}): FigureWords[] {
  if (delayMedianMs === null) return [];
  return [{ name: 'Delay', value: shownMs(delayMedianMs), note: 'median, slowest take' }];
}
