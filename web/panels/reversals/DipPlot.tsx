import { useLayoutEffect, useMemo, useRef } from 'preact/hooks';
import { isHeldThrough } from '../../../server/engine/explain/reversalRows.ts';
import { limited } from '../../../server/engine/settings/candidateRules.ts';
import { palette } from '../../charts/palette.ts';
import type { PlotArea, Point } from '../../charts/scale.ts';
import { dispatch, sight } from '../../state/store.ts';
import type { TakeReversal } from '../../sweep/jobs.ts';
import { Handle } from '../plot/Handle.tsx';
import { PlotFrame } from '../plot/PlotFrame.tsx';
import { pointPlaces } from '../plot/readout.ts';
import { showOnStaves } from './showOnStaves.ts';

const REACH_PX = 14;
/** A dip that has no end, or a longer one, is drawn whole at the top. */
const TALLEST = 0.98;
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
  const points = useMemo(
    () => rows.map((row): Point => [row.lowestDps, Math.min(row.dipMs ?? top, top * TALLEST)]),
    [rows, top],
  );
  const at = pointed === null ? -1 : rows.indexOf(pointed);
  return (
    <PlotFrame
      x={{ range: [0, right], label: 'lowest speed, °/s' }}
      y={{ range: [0, top], label: `below ${props.speedDps} °/s for, ms` }}
      label="Dip width against lowest speed of every reversal"
      under={(area) => <Points rows={rows} points={points} holdMs={holdMs} area={area} />}
      readout={{
        ...pointPlaces(points, REACH_PX),
        at: at < 0 ? null : at,
        text: pointed ? pointWords(pointed) : '',
        isInPlot: false,
        onRead: (k) => props.onPoint(k === null ? null : rows[k]!),
        onChoose: (k) => showOnStaves(rows[k]!.takeId, rows[k]!.timeUs),
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
      {(area) => <line class="hold-line" x2={area.width} y1={area.y(holdMs)} y2={area.y(holdMs)} />}
    </PlotFrame>
  );
}

export function pointWords({ timeUs, lowestDps, dipMs }: TakeReversal): string {
  const dip = dipMs === null ? 'speed not reached' : `dip ${dipMs.toFixed(0)} ms`;
  return `${(timeUs / 1e6).toFixed(2)} s · lowest ${lowestDps.toFixed(0)} °/s · ${dip}`;
}

/** Least reach of the axes. */
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
  readonly points: readonly Point[];
  readonly holdMs: number;
  readonly area: PlotArea;
}) {
  const ref = useRef<HTMLCanvasElement>(null);
  const { rows, points, holdMs, area } = props;
  const colours = palette.value;
  const ratio = devicePixelRatio;
  useLayoutEffect(() => {
    const context = ref.current?.getContext('2d');
    if (!context) return;
    context.setTransform(ratio, 0, 0, ratio, MARGIN * ratio, MARGIN * ratio);
    context.clearRect(-MARGIN, -MARGIN, area.width + 2 * MARGIN, area.height + 2 * MARGIN);
    context.lineWidth = 1.5;
    rows.forEach((row, k) => {
      const [x, y] = [area.x(points[k]![0]), area.y(points[k]![1])];
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
    });
  }, [rows, points, holdMs, area.width, area.height, ratio, colours]);
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
