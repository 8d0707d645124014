import { signal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { type Decline as DeclineFact, LEAST_EVENTS } from '../../../server/engine/choose/decline.ts';
import type { Family, FrontPoint } from '../../../server/engine/choose/tradeOff.ts';
import type { GuardSweep } from '../../../server/engine/sweep/guardSweep.ts';
import { declineWords } from '../../../server/engine/words/choose/declines.ts';
import { counted } from '../../../server/engine/words/count.ts';
import { KeyMark } from '../KeyMark.tsx';
import { PlotFrame } from '../plot/PlotFrame.tsx';
import { pointPlaces, useReadout } from '../plot/readout.ts';
import { FAMILY_WORDS, familyFronts, staircase, type Weighing } from './families.ts';

const weighing = signal<Weighing>('presses');

const REACH_PX = 40;

const FAMILIES: readonly Family[] = ['momentary', 'hysteresis', 'hold', 'held'];

/** What each way to guard buys, at its best settings. */
export function TradeOffCard(props: {
  readonly plain: GuardSweep;
  readonly held: GuardSweep;
  readonly hysteresis: readonly GuardSweep[];
  /** Why nothing can be chosen on these presses; null where something can. */
  readonly decline: DeclineFact | null;
}) {
  const { plain, held, hysteresis, decline } = props;
  const by = weighing.value;
  const fronts = useMemo(() => familyFronts(plain, held, hysteresis, by), [plain, held, hysteresis, by]);
  const all = FAMILIES.flatMap((family) => fronts[family].map((point) => ({ family, point })));
  const readout = useReadout(
    pointPlaces(
      all.map(({ point }) => [point.x, point.y] as const),
      REACH_PX,
    ),
    (k) => (all[k] ? pointText(all[k].family, all[k].point, by) : ''),
    false,
  );
  const isPresses = by === 'presses';
  const empty = isPresses ? decline && declineWords(decline).text : lackOfStops(plain);
  const top = Math.max(isPresses ? 1 : 5, ...all.map(({ point }) => point.y)) * 1.06;
  const right = Math.max(isPresses ? 1 : 100, ...all.map(({ point }) => point.x)) * 1.06;
  return (
    <section class="card trade-off">
      <header>
        <span class="choices" role="group" aria-label="Weighed by">
          {(['presses', 'time'] as const).map((one) => (
            <button
              key={one}
              type="button"
              class="small"
              aria-pressed={by === one}
              onClick={() => (weighing.value = one)}
            >
              {one === 'presses' ? 'by presses' : 'by time'}
            </button>
          ))}
        </span>
      </header>
      <p>
        Each line is the best that one rule can do at any of its settings. The nearer to the lower left
        corner, the better
        {isPresses ? ': fewer presses go wrong' : ': closed in a spin, and soon open after it'}.
      </p>
      <ul class="front-legend">
        {FAMILIES.filter((family) => family !== 'held' || isPresses).map((family) => (
          <li key={family}>
            <KeyMark width={26} height={14}>
              <g class={`front is-${family}`}>
                <path d="M-13 0H13" />
                <Mark family={family} x={0} y={0} />
              </g>
            </KeyMark>
            {FAMILY_WORDS[family]}
          </li>
        ))}
      </ul>
      {empty !== null ? (
        <p class="quiet">{empty}</p>
      ) : (
        <PlotFrame
          x={{
            range: [isPresses ? -0.04 * right : 0, right],
            label: isPresses ? `wanted presses refused, of ${plain.sizes.wanted}` : 'wait after a stop, ms',
            isWhole: isPresses,
          }}
          y={{
            range: [isPresses ? -0.05 * top : 0, top],
            label: isPresses ? `strays let through, of ${plain.sizes.strays}` : 'open while spinning, %',
            isWhole: isPresses,
          }}
          label="Best settings of each rule: stray presses let through against wanted presses refused"
          readout={readout}
        >
          {(area) =>
            FAMILIES.map((family) => (
              <g key={family} class={`front is-${family}`}>
                <path d={staircase(fronts[family], area.x, area.y, area.width)} />
                {fronts[family].length <= 40 &&
                  fronts[family].map((point) => (
                    <Mark
                      key={`${point.x} ${point.y}`}
                      family={family}
                      x={area.x(point.x)}
                      y={area.y(point.y)}
                    />
                  ))}
              </g>
            ))
          }
        </PlotFrame>
      )}
      {empty === null && <p class="map-readout">{readout.text || 'Point at a mark to read its setting.'}</p>}
    </section>
  );
}

/** By time the rule of evidence is the same, with stops in the place of presses. */
function lackOfStops({ sizes: { stops, spinningS } }: GuardSweep): string | null {
  if (spinningS === 0) return 'There is no spin in these takes.';
  if (stops >= LEAST_EVENTS) return null;
  return `${counted(stops, 'stop after a swing is', 'stops after swings are')} too few to tell settings apart: it takes ${LEAST_EVENTS}.`;
}

function Mark({ family, x, y }: { readonly family: Family; readonly x: number; readonly y: number }) {
  switch (family) {
    case 'momentary':
      return <path class="front-mark" transform={`translate(${x} ${y})`} d="M0 -4.5L4.5 3.5H-4.5z" />;
    case 'hold':
      return <circle class="front-mark" cx={x} cy={y} r={3.6} />;
    case 'held':
      return <path class="front-mark" transform={`translate(${x} ${y})`} d="M0 -4.6L4.6 0L0 4.6L-4.6 0z" />;
    case 'hysteresis':
      return <rect class="front-mark" x={x - 3.4} y={y - 3.4} width={6.8} height={6.8} />;
  }
}

function pointText(family: Family, point: FrontPoint, by: Weighing): string {
  const { speedDps, holdMs, releaseRatio } = point;
  const setting = {
    momentary: `${speedDps} °/s`,
    hold: `${speedDps} °/s, hold ${holdMs} ms`,
    held: `${speedDps} °/s, hold ${holdMs} ms, acting while held`,
    hysteresis: `${speedDps} °/s, opens below ${releaseRatio} of it`,
  }[family];
  return by === 'presses'
    ? `${setting}: ${point.y} strays let through, ${point.x} wanted refused`
    : `${setting}: open ${point.y.toFixed(1)} % of the spin, wait ${point.x.toFixed(0)} ms`;
}
