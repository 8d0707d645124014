import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import { outlinePath } from '../../../server/engine/sweep/outline.ts';
import { palette } from '../../charts/palette.ts';
import type { PlotArea } from '../../charts/scale.ts';
import { PlotFrame } from '../plot/PlotFrame.tsx';
import { cellPlaces } from '../plot/readout.ts';
import type { MapScale } from './mapScale.ts';
import { hexColour, paintMap } from './paintMap.ts';

export interface MapAxis {
  /** Evenly spaced. */
  readonly values: ArrayLike<number>;
  readonly label: string;
}

/** A coloured map over two settings. Cells are numbered x first, y fastest. */
export function SweepMap(props: {
  readonly x: MapAxis;
  readonly y: MapAxis;
  readonly values: ArrayLike<number>;
  readonly scale: MapScale;
  readonly region: Uint8Array | null;
  readonly label: string;
  readonly marks: (area: PlotArea) => ComponentChildren;
  readonly handles: (area: PlotArea) => ComponentChildren;
  onHover(cell: number | null): void;
}) {
  const xs = props.x.values;
  const ys = props.y.values;
  const [xRange, yRange] = [rangeOf(xs), rangeOf(ys)];
  const [at, setAt] = useState<number | null>(null);
  const places = cellPlaces(xs, ys);
  const [x, y] = places.ringAt!(at ?? 0);
  return (
    <PlotFrame
      x={{ range: xRange, label: props.x.label }}
      y={{ range: yRange, label: props.y.label }}
      label={props.label}
      under={(area) => <MapCanvas {...props} area={area} />}
      over={props.handles}
      readout={{
        ...places,
        at,
        text: `${props.x.label} ${x}; ${props.y.label} ${y}`,
        isInPlot: false,
        onRead: (cell) => {
          setAt(cell);
          props.onHover(cell);
        },
      }}
    >
      {(area) => (
        <>
          {props.region && <Outline region={props.region} xs={xs} ys={ys} area={area} />}
          {props.marks(area)}
        </>
      )}
    </PlotFrame>
  );
}

function MapCanvas(props: {
  readonly values: ArrayLike<number>;
  readonly y: MapAxis;
  readonly scale: MapScale;
  readonly area: PlotArea;
}) {
  const ref = useRef<HTMLCanvasElement>(null);
  const { width, height } = props.area;
  const { values, scale } = props;
  const colours = palette.value;
  const ratio = devicePixelRatio;
  useLayoutEffect(() => {
    const { scheme, goodGround, rule } = colours;
    const named = { scheme, none: hexColour(goodGround), blank: hexColour(rule) };
    if (ref.current) paintMap(ref.current, values, props.y.values.length, scale, named);
  }, [values, scale, width, height, ratio, colours]);
  return (
    <canvas
      ref={ref}
      width={Math.round(width * ratio)}
      height={Math.round(height * ratio)}
      style={{ width: `${width}px`, height: `${height}px` }}
    />
  );
}

/** Twice, a light line under a dark one: it shows on any colour. */
function Outline(props: {
  readonly region: Uint8Array;
  readonly xs: ArrayLike<number>;
  readonly ys: ArrayLike<number>;
  readonly area: PlotArea;
}) {
  const { region, xs, ys, area } = props;
  const path = useMemo(() => {
    const [xRange, yRange] = [rangeOf(xs), rangeOf(ys)];
    const corner = (range: readonly [number, number], count: number, i: number) =>
      range[0] + ((range[1] - range[0]) * i) / count;
    return outlinePath(
      region,
      ys.length,
      (i) => area.x(corner(xRange, xs.length, i)),
      (j) => area.y(corner(yRange, ys.length, j)),
    );
  }, [region, area.width, area.height]);
  return (
    <>
      <path class="plateau-halo" d={path} />
      <path class="plateau" d={path} />
    </>
  );
}

/** Half a step beyond the values at either end. */
function rangeOf(values: ArrayLike<number>): [number, number] {
  const half = (values[1]! - values[0]!) / 2;
  return [values[0]! - half, values[values.length - 1]! + half];
}
