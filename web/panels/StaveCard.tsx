import type { ComponentChildren } from 'preact';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { Segment } from '../../server/engine/base/log.ts';
import { firstAtOrAfter } from '../../server/engine/statistics/sorted.ts';
import { cursorUs } from '../charts/cursor.ts';
import { extremesOf } from '../charts/extremes.ts';
import { AXIS_HEIGHT, GUTTER_LEFT, GUTTER_RIGHT, PLOT_TOP } from '../charts/geometry.ts';
import { palette } from '../charts/palette.ts';
import { formatMoment, type RightAxis, Stave, type TraceStyle } from '../charts/stave.ts';
import { viewData } from '../charts/viewData.ts';
import type { TimeWindow } from '../state/model.ts';
import { useSize } from './useSize.ts';

interface StaveCardProps {
  readonly name: string;
  /** Empty where what stands above says it: then `says` names the stave for screen readers. */
  readonly title: string;
  readonly says?: string;
  readonly unit: string;
  readonly timeline: { readonly timeUs: Float64Array; readonly segments: readonly Segment[] };
  readonly channels: readonly Float64Array[];
  readonly traces: readonly TraceStyle[];
  /** Channels that are drawn as `offset + scale · value`, by their places: no copy of a long channel is made for it. */
  readonly drawnAs?: Readonly<Record<number, readonly [offset: number, scale: number]>>;
  readonly window: TimeWindow;
  readonly range: readonly [number, number];
  readonly hasTimeAxis?: boolean;
  readonly rightAxis?: RightAxis;
  format(value: number): string;
  /** The value of the first channel under the crosshair, and of the second where there is one, in words. */
  readOut(value: number, second: number | undefined): string;
  /** Draws over the plot: thresholds, shades. Gets the plot's size. */
  over(height: number, width: number): ComponentChildren;
  readonly note?: ComponentChildren;
  /** What folds the stave, before its name. */
  readonly fold?: ComponentChildren;
  /** Between the heading and the plot. */
  readonly under?: ComponentChildren;
}

/** One stave: heading with the value under the crosshair, the painted curve, and what lies over it. */
export function StaveCard(props: StaveCardProps) {
  const { ref, width, height } = useSize();
  const chart = useRef<Stave | null>(null);
  const style = JSON.stringify([props.traces, props.rightAxis?.perUnit ?? null]);
  const drawnAs = JSON.stringify(props.drawnAs);
  const extremes = useMemo(() => props.channels.map(extremesOf), props.channels);
  const plotWidth = width - GUTTER_LEFT - GUTTER_RIGHT;
  const plotHeight = height - PLOT_TOP - (props.hasTimeAxis ? AXIS_HEIGHT : 2);
  const colours = palette.value;

  useEffect(() => {
    if (!ref.current) return;
    chart.current = new Stave(ref.current, {
      traces: props.traces,
      palette: colours,
      hasTimeAxis: props.hasTimeAxis ?? false,
      rightAxis: props.rightAxis ?? null,
      format: props.format,
    });
    return () => chart.current?.destroy();
  }, [style, colours]);

  useEffect(() => {
    if (width > 0 && height > 0) chart.current?.resize(width, height);
  }, [width, height, style, colours]);

  useEffect(() => {
    if (!(plotWidth > 0)) return;
    const data = viewData(props.timeline, extremes, props.window, plotWidth * Math.min(2, devicePixelRatio));
    const channels = data.channels.map((channel, place) => {
      const drawnAs = props.drawnAs?.[place];
      return drawnAs ? channel.map((value) => drawnAs[0] + drawnAs[1] * value) : channel;
    });
    chart.current?.paint({ ...data, channels }, props.window, props.range);
  }, [
    props.timeline,
    extremes,
    props.window,
    props.range[0],
    props.range[1],
    plotWidth,
    height,
    style,
    colours,
    drawnAs,
  ]);

  return (
    <section
      class={`card stave stave-${props.name}`}
      aria-label={props.title === '' ? props.says : undefined}
    >
      <header>
        {props.fold}
        {props.title !== '' && <h2>{props.title}</h2>}
        {props.unit !== '' && <span class="unit">{props.unit}</span>}
        {props.note}
        <ReadOut
          timeUs={props.timeline.timeUs}
          channels={props.channels}
          say={props.readOut}
          isTimed={props.hasTimeAxis ?? false}
        />
      </header>
      {props.under}
      <div class="plot" ref={ref} data-plot {...(props.hasTimeAxis ? { 'data-time-axis': true } : {})}>
        <div
          class="over"
          style={{
            left: `${GUTTER_LEFT}px`,
            right: `${GUTTER_RIGHT}px`,
            top: `${PLOT_TOP}px`,
            height: `${Math.max(0, plotHeight)}px`,
          }}
        >
          {plotHeight > 0 && props.over(plotHeight, plotWidth)}
        </div>
      </div>
    </section>
  );
}

function ReadOut(props: {
  timeUs: Float64Array;
  channels: readonly Float64Array[];
  say(value: number, second: number | undefined): string;
  /** Whether the moment is told as well. */
  isTimed: boolean;
}) {
  const at = cursorUs.value;
  if (at === null) return <output class="readout" />;
  const i = Math.max(0, firstAtOrAfter(props.timeUs, at + 1) - 1);
  const value = props.channels[0]![i];
  return (
    <output class="readout">
      {props.isTimed && <span class="quiet">{formatMoment(at, 3)} · </span>}
      {value === undefined || Number.isNaN(value) ? 'no data' : props.say(value, props.channels[1]?.[i])}
    </output>
  );
}
