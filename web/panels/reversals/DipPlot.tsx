import { useLayoutEffect, useMemo, useRef } from 'preact/hooks';
import { isHeldThrough } from '../../../server/engine/explain/reversalRows.ts';
import { limited } from '../../../server/engine/settings/candidateRules.ts';
import { palette } from '../../charts/palette.ts';
import { dispatch, sight } from '../../state/store.ts';
import type { TakeReversal } from '../../sweep/jobs.ts';
import { Handle } from '../plot/Handle.tsx';
import { type PlotArea, PlotFrame } from '../plot/PlotFrame.tsx';
import { showOnStaves } from './showOnStaves.ts';

const REACH_PX = 14;
/** Half a mark: those on the axes are drawn whole. */
const MARGIN = 6;

/** Dip width against lowest speed, a point for each reversal; the hold lies across as a line to drag. */
export function DipPlot(props: {
  readonly rows: readonly TakeReversal[];
  readonly holdMs: number;
  readonly speedDps: number;
  readonly pointed: TakeReversal | null;
  onPoint(row: TakeReversal | null): void;
}) {
  const { rows, holdMs, pointed } = props;
  const slot = sight.slot.value;
  const reach = useMemo(() => reachOf(rows), [rows]);
  const right = reach.lowestDps * 1.08;
  const top = Math.max(holdMs, reach.dipMs) * 1.12;
  const placeOf = (row: TakeReversal, area: PlotArea) => ({
    x: area.x(row.lowestDps),
    y: Math.max(4, area.y(row.dipMs ?? top)),
  });
  const nearest = (at: { readonly x: number; readonly y: number }, area: PlotArea): TakeReversal | null => {
    let best: TakeReversal | null = null;
    let least = REACH_PX;
    for (const row of rows) {
      const place = placeOf(row, area);
      const distance = Math.hypot(place.x - at.x, place.y - at.y);
      if (distance < least) [best, least] = [row, distance];
    }
    return best;
  };
  return (
    <PlotFrame
      x={{ range: [0, right], label: 'lowest speed, °/s' }}
      y={{ range: [0, top], label: `below ${props.speedDps} °/s for, ms` }}
      label="Dip width against lowest speed of every reversal"
      under={(area) => <Points rows={rows} holdMs={holdMs} area={area} placeOf={placeOf} />}
      onPointer={(at, area) => props.onPoint(at && nearest(at, area))}
      onClick={(at, area) => {
        const row = nearest(at, area);
        if (row) showOnStaves(row.takeId, row.timeUs);
      }}
      over={(area) => (
        <Handle
          area={area}
          x={right}
          y={holdMs}
          nudge={[0, 1]}
          name={`Hold of candidate ${slot.toUpperCase()}`}
          valueText={`${holdMs} ms`}
          className={`hold-tag ${area.height - area.y(holdMs) < 9 ? 'is-low' : ''}`}
          gesture={`reversals ${slot} hold`}
          onMove={(_x, y, gesture) => {
            const value = limited('guard.holdMs', Math.round(y));
            dispatch({ type: 'settingChanged', slot, path: 'guard.holdMs', value, gesture });
          }}
        >
          hold {slot.toUpperCase()} {holdMs}
        </Handle>
      )}
    >
      {(area) => (
        <>
          <line class="hold-line" x2={area.width} y1={area.y(holdMs)} y2={area.y(holdMs)} />
          {pointed && (
            <circle class="front-near" cx={placeOf(pointed, area).x} cy={placeOf(pointed, area).y} r={8} />
          )}
        </>
      )}
    </PlotFrame>
  );
}

/** How far the axes reach at least. */
function reachOf(rows: readonly TakeReversal[]): { readonly lowestDps: number; readonly dipMs: number } {
  let [lowestDps, dipMs] = [10, 100];
  for (const row of rows) {
    lowestDps = Math.max(lowestDps, row.lowestDps);
    dipMs = Math.max(dipMs, Math.min(row.dipMs ?? 0, 1500));
  }
  return { lowestDps, dipMs };
}

/** On a canvas: a workspace has tens of thousands. Not painted again for a pointer that moves over them. */
function Points(props: {
  readonly rows: readonly TakeReversal[];
  readonly holdMs: number;
  readonly area: PlotArea;
  placeOf(row: TakeReversal, area: PlotArea): { x: number; y: number };
}) {
  const ref = useRef<HTMLCanvasElement>(null);
  const { rows, holdMs, area, placeOf } = props;
  const colours = palette.value;
  const ratio = devicePixelRatio;
  useLayoutEffect(() => {
    const context = ref.current?.getContext('2d');
    if (!context) return;
    context.setTransform(ratio, 0, 0, ratio, MARGIN * ratio, MARGIN * ratio);
    context.clearRect(-MARGIN, -MARGIN, area.width + 2 * MARGIN, area.height + 2 * MARGIN);
    context.lineWidth = 1.5;
    for (const row of rows) {
      const { x, y } = placeOf(row, area);
      const isHeld = isHeldThrough(row, holdMs);
      context.beginPath();
      if (isHeld) {
        context.strokeStyle = colours.guard;
        context.rect(x - 3, y - 3, 6, 6);
        context.stroke();
      } else {
        context.fillStyle = colours.impact;
        context.moveTo(x, y - 4.2);
        context.lineTo(x + 4, y + 3.2);
        context.lineTo(x - 4, y + 3.2);
        context.fill();
      }
    }
    // Places rest on rows, hold and size alone.
  }, [rows, holdMs, area.width, area.height, ratio, colours]);
  return (
    <canvas
      ref={ref}
      width={Math.round((area.width + 2 * MARGIN) * ratio)}
      height={Math.round((area.height + 2 * MARGIN) * ratio)}
      style={{
        margin: `${-MARGIN}px`,
        width: `${area.width + 2 * MARGIN}px`,
        height: `${area.height + 2 * MARGIN}px`,
      }}
    />
  );
}
