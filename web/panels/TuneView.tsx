import { useEffect, useRef, useState } from 'preact/hooks';
import { DEG_PER_RAD } from '../../server/engine/units.ts';
import { cursorUs } from '../charts/cursor.ts';
import { GUTTER_LEFT, GUTTER_RIGHT } from '../charts/geometry.ts';
import { bindNavigation } from '../charts/navigate.ts';
import { palette } from '../charts/palette.ts';
import { wholeTake } from '../charts/view.ts';
import type { TimeWindow } from '../state/model.ts';
import { type OpenTake, openTake } from '../state/openTake.ts';
import { dispatch, state } from '../state/store.ts';
import { spinning, type Verdicts, verdicts } from '../state/verdicts.ts';
import { Lanes } from './Lanes.tsx';
import { OverviewStrip } from './OverviewStrip.tsx';
import { Shades } from './Shades.tsx';
import { StaveCard } from './StaveCard.tsx';
import { Threshold } from './Threshold.tsx';
import { useFrozenRange } from './useFrozenRange.ts';

/** One take as a score: staves of motion, lanes of verdicts, thresholds to drag. */
export function TuneView({ take }: { readonly take: OpenTake }) {
  const column = useRef<HTMLDivElement>(null);
  const [band, setBand] = useState<{ left: number; width: number } | null>(null);
  const window = state.value.window ?? wholeTake(take.durationUs);

  useEffect(() => {
    if (!column.current) return;
    return bindNavigation(column.current, {
      window: () => state.peek().window ?? wholeTake(openTake.peek()?.durationUs ?? 0),
      durationUs: () => openTake.peek()?.durationUs ?? 0,
      moveTo: (to) => dispatch({ type: 'windowMoved', window: to }),
      showBand: setBand,
    });
  }, []);

  const a = verdicts.a.value;
  const b = state.value.showB ? verdicts.b.value : null;
  if (!a) return null;
  return (
    <div class="column" ref={column}>
      {a.signals.warnings.length > 0 && <p class="caution-line">{a.signals.warnings.join(' ')}</p>}
      <SpeedStave take={take} window={window} a={a} b={b} />
      <Lanes window={window} />
      <ThrustStave window={window} a={a} b={b} take={take} />
      <TwistStave window={window} a={a} b={b} />
      <ImpactStave window={window} a={a} b={b} />
      <OverviewStrip take={take} signals={a.signals} window={window} />
      {band && (
        <div
          class="band"
          style={{ left: `calc(var(--card-inset) + ${GUTTER_LEFT + band.left}px)`, width: `${band.width}px` }}
        />
      )}
      <Crosshair window={window} />
    </div>
  );
}

interface StaveProps {
  readonly window: TimeWindow;
  readonly a: Verdicts;
  readonly b: Verdicts | null;
}

function SpeedStave({ take, window, a, b }: StaveProps & { readonly take: OpenTake }) {
  const { candidates } = state.value.work;
  const colours = palette.value;
  const { bladeLengthM } = take.document.calibration;
  const isSecondTrace = b !== null && b.signals !== a.signals;
  const tops = [
    candidates.a.guard.speedDps,
    candidates.a.deflection.speedDps,
    ...(b ? [candidates.b.guard.speedDps, candidates.b.deflection.speedDps] : []),
  ];
  const range = useFrozenRange(0, Math.max(highest(a.signals.swingSpeedDps), ...tops) * 1.06);
  const perUnit = bladeLengthM / DEG_PER_RAD;
  return (
    <StaveCard
      name="speed"
      title="Swing speed"
      unit={`°/s across the blade · tip speed in m/s at ${bladeLengthM} m on the right`}
      timeline={a.signals}
      channels={
        isSecondTrace ? [a.signals.swingSpeedDps, b.signals.swingSpeedDps] : [a.signals.swingSpeedDps]
      }
      traces={[
        { colour: colours.ink, fill: colours.fill },
        ...(isSecondTrace ? [{ colour: colours.quiet, isDashed: true }] : []),
      ]}
      window={window}
      range={range}
      hasTimeAxis
      rightAxis={{ perUnit, format: (value) => String(Number(value.toFixed(1))) }}
      format={(value) => String(Math.round(value))}
      readOut={(value) => `${value.toFixed(0)} °/s · ${(value * perUnit).toFixed(1)} m/s`}
      over={(height) => (
        <>
          <Shades spans={spinning.value.spans} window={window} isProposed={spinning.value.areProposed} />
          {b && (
            <Threshold
              slot="b"
              path="deflection.speedDps"
              name="deflection"
              hue="deflection"
              range={range}
              height={height}
              place={3}
            />
          )}
          {b && (
            <Threshold
              slot="b"
              path="guard.speedDps"
              name="guard"
              hue="guard"
              range={range}
              height={height}
              place={2}
            />
          )}
          <Threshold
            slot="a"
            path="deflection.speedDps"
            name="deflection"
            hue="deflection"
            range={range}
            height={height}
            place={1}
          />
          <Threshold
            slot="a"
            path="guard.speedDps"
            name="guard"
            hue="guard"
            range={range}
            height={height}
            place={0}
          />
        </>
      )}
    />
  );
}

function ThrustStave({ take, window, a, b }: StaveProps & { readonly take: OpenTake }) {
  const { candidates } = state.value.work;
  const { leverArmM } = take.document.calibration;
  const level = Math.max(candidates.a.stab.thrustG, b ? candidates.b.stab.thrustG : 0);
  const range = useFrozenRange(
    Math.min(-0.5, lowest(a.signals.thrustG) * 1.1),
    Math.max(level, highest(a.signals.thrustG)) * 1.12,
  );
  return (
    <StaveCard
      name="thrust"
      title="Thrust along the blade"
      unit={
        leverArmM > 0 ? `g · gravity and the swing’s pull at ${leverArmM} m removed` : 'g · gravity removed'
      }
      note={
        leverArmM > 0 ? undefined : (
          <span class="caution">lever arm not set: a fast swing reads as thrust</span>
        )
      }
      timeline={a.signals}
      channels={[a.signals.thrustG]}
      traces={[{ colour: palette.value.stab }]}
      window={window}
      range={range}
      format={(value) => String(Number(value.toFixed(2)))}
      readOut={(value) => `${value.toFixed(2)} g`}
      over={(height) => (
        <>
          {b && (
            <Threshold
              slot="b"
              path="stab.thrustG"
              name="stab"
              hue="stab"
              range={range}
              height={height}
              place={1}
            />
          )}
          <Threshold
            slot="a"
            path="stab.thrustG"
            name="stab"
            hue="stab"
            range={range}
            height={height}
            place={0}
          />
        </>
      )}
    />
  );
}

const STARTS = { rest: 'the last rest', hold: 'a button going down', takeStart: 'the take’s start' };

function TwistStave({ window, a, b }: StaveProps) {
  const { candidates } = state.value.work;
  const reach = Math.max(
    30,
    candidates.a.twist.angleDeg,
    b ? candidates.b.twist.angleDeg : 0,
    highest(a.signals.twistDeg),
    -lowest(a.signals.twistDeg),
  );
  const range = useFrozenRange(-reach * 1.12, reach * 1.12);
  const line = { path: 'twist.angleDeg', name: 'twist', hue: 'twist', range } as const;
  return (
    <StaveCard
      name="twist"
      title="Twist"
      unit={`° turned about the blade since ${STARTS[candidates.a.twist.startAt]} · dashed: swing–twist angle`}
      timeline={a.signals}
      channels={[a.signals.twistDeg, a.signals.swingTwistDeg]}
      traces={[{ colour: palette.value.twist }, { colour: palette.value.quiet, isDashed: true, width: 1 }]}
      window={window}
      range={range}
      format={(value) => String(Math.round(value))}
      readOut={(value) => `${value.toFixed(1)}°`}
      over={(height) => (
        <>
          {b && <Threshold {...line} slot="b" height={height} place={1} />}
          <Threshold {...line} slot="a" height={height} place={0} isMirrored />
          <Threshold {...line} slot="a" height={height} place={0} />
        </>
      )}
    />
  );
}

function ImpactStave({ window, a, b }: StaveProps) {
  const { candidates } = state.value.work;
  const level = Math.max(candidates.a.impact.impactG, b ? candidates.b.impact.impactG : 0);
  const range = useFrozenRange(0, Math.max(level, highest(a.signals.impactG)) * 1.12);
  return (
    <StaveCard
      name="impact"
      title="Impact"
      unit={`g · the part of the force above ${candidates.a.impact.highPassHz} Hz`}
      timeline={a.signals}
      channels={[a.signals.impactG]}
      traces={[{ colour: palette.value.impact }]}
      window={window}
      range={range}
      hasTimeAxis
      format={(value) => String(Number(value.toFixed(2)))}
      readOut={(value) => `${value.toFixed(2)} g`}
      over={(height) => (
        <>
          {b && (
            <Threshold
              slot="b"
              path="impact.impactG"
              name="impact"
              hue="impact"
              range={range}
              height={height}
              place={1}
            />
          )}
          <Threshold
            slot="a"
            path="impact.impactG"
            name="impact"
            hue="impact"
            range={range}
            height={height}
            place={0}
          />
        </>
      )}
    />
  );
}

function Crosshair({ window }: { readonly window: TimeWindow }) {
  const at = cursorUs.value;
  if (at === null) return null;
  const part = (at - window.startUs) / (window.endUs - window.startUs);
  const left = `calc(var(--card-inset) + ${GUTTER_LEFT}px + ${part} * (100% - 2 * var(--card-inset) - ${GUTTER_LEFT + GUTTER_RIGHT}px))`;
  return (
    <div class="crosshair" style={{ left }}>
      <span>{(at / 1e6).toFixed(3)} s</span>
    </div>
  );
}

const extremesOf = new WeakMap<Float64Array, readonly [number, number]>();

function highest(values: Float64Array): number {
  return extremesFor(values)[1];
}

function lowest(values: Float64Array): number {
  return extremesFor(values)[0];
}

/** Extremes of a channel, found once for each: a drag repaints often, the channel stays. */
function extremesFor(values: Float64Array): readonly [number, number] {
  const kept = extremesOf.get(values);
  if (kept) return kept;
  let low = 0;
  let high = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const found = [low, high] as const;
  extremesOf.set(values, found);
  return found;
}
