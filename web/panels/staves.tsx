import { useMemo } from 'preact/hooks';
import { DEG_PER_RAD } from '../../server/engine/units.ts';
import { highest, lowest } from '../charts/extremes.ts';
import { palette } from '../charts/palette.ts';
import type { TimeWindow } from '../state/model.ts';
import type { OpenTake } from '../state/openTake.ts';
import { state } from '../state/store.ts';
import { spinning, type Verdicts } from '../state/verdicts.ts';
import { Shades } from './Shades.tsx';
import { StaveCard } from './StaveCard.tsx';
import { armReachOf, thrustBand } from './signal/thrustBand.ts';
import { Thresholds } from './Thresholds.tsx';
import { useFrozenRange } from './useFrozenRange.ts';

const SPEED_LINES = [
  { path: 'guard.speedDps', name: 'guard', hue: 'guard' },
  { path: 'deflection.speedDps', name: 'deflection', hue: 'deflection' },
] as const;
const STAB_LINES = [{ path: 'stab.thrustG', name: 'stab', hue: 'stab' }] as const;
const TWIST_LINES = [{ path: 'twist.angleDeg', name: 'twist', hue: 'twist', isMagnitude: true }] as const;
const IMPACT_LINES = [{ path: 'impact.impactG', name: 'impact', hue: 'impact' }] as const;

interface StaveProps {
  readonly window: TimeWindow;
  readonly a: Verdicts;
  readonly b: Verdicts | null;
}

export function SpeedStave({ take, window, a, b }: StaveProps & { readonly take: OpenTake }) {
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
          <Thresholds lines={SPEED_LINES} range={range} height={height} />
        </>
      )}
    />
  );
}

export function ThrustStave({ take, window, a, b }: StaveProps & { readonly take: OpenTake }) {
  const { candidates } = state.value.work;
  const { leverArmM } = take.document.calibration;
  const reachM = armReachOf(take);
  const band = useMemo(() => (reachM > 0 ? thrustBand(a.signals, reachM) : []), [a.signals, reachM]);
  // Fainter than the thrust itself, which they lie over.
  const thin = { colour: `${palette.value.stab}55`, width: 0.75 };
  const level = Math.max(candidates.a.stab.thrustG, b ? candidates.b.stab.thrustG : 0);
  const range = useFrozenRange(
    Math.min(-0.5, lowest(a.signals.thrustG) * 1.1),
    Math.max(level, highest(a.signals.thrustG)) * 1.5,
  );
  return (
    <StaveCard
      name="thrust"
      title="Thrust along the blade"
      unit={
        leverArmM > 0
          ? `g · gravity and the swing’s pull at ${leverArmM} m removed${band.length > 0 ? ' · faint: as the arm varies' : ''}`
          : 'g · gravity removed'
      }
      note={
        leverArmM > 0 ? undefined : (
          <span class="caution">lever arm not set: a fast swing reads as thrust</span>
        )
      }
      timeline={a.signals}
      channels={[a.signals.thrustG, ...band]}
      traces={[{ colour: palette.value.stab }, ...band.map(() => thin)]}
      window={window}
      range={range}
      format={(value) => String(Number(value.toFixed(2)))}
      readOut={(value) => `${fixed(value, 2)} g`}
      over={(height) => <Thresholds lines={STAB_LINES} range={range} height={height} />}
    />
  );
}

const STARTS = { rest: 'the last rest', hold: 'a button going down', takeStart: 'the take’s start' };

export function TwistStave({ window, a, b }: StaveProps) {
  const { candidates } = state.value.work;
  const reach = Math.max(
    30,
    candidates.a.twist.angleDeg,
    b ? candidates.b.twist.angleDeg : 0,
    highest(a.signals.twistDeg),
    -lowest(a.signals.twistDeg),
    highest(a.signals.swingTwistDeg),
    -lowest(a.signals.swingTwistDeg),
  );
  const range = useFrozenRange(-reach * 1.28, reach * 1.28);
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
      readOut={(value) => `${fixed(value, 1)}°`}
      over={(height) => <Thresholds lines={TWIST_LINES} range={range} height={height} />}
    />
  );
}

export function ImpactStave({ window, a, b }: StaveProps) {
  const { candidates } = state.value.work;
  const level = Math.max(candidates.a.impact.impactG, b ? candidates.b.impact.impactG : 0);
  const range = useFrozenRange(0, Math.max(level, highest(a.signals.impactG)) * 1.28);
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
      readOut={(value) => `${fixed(value, 2)} g`}
      over={(height) => <Thresholds lines={IMPACT_LINES} range={range} height={height} />}
    />
  );
}

/** Fixed decimals, with no minus before a zero. */
function fixed(value: number, decimals: number): string {
  return (Number(value.toFixed(decimals)) + 0).toFixed(decimals);
}
