import { useMemo } from 'preact/hooks';
import { DEG_PER_RAD } from '../../server/engine/base/units.ts';
import { counted, fixed, trueMinus } from '../../server/engine/words/count.ts';
import { highest, lowest } from '../charts/extremes.ts';
import { topFor } from '../charts/headroom.ts';
import { palette } from '../charts/palette.ts';
import type { TimeWindow } from '../state/model.ts';
import type { OpenTake } from '../state/openTake.ts';
import { bothCandidates, sight } from '../state/store.ts';
import { spinning, type Verdicts } from '../state/verdicts.ts';
import { ClippedPeaks, clippedSwings } from './ClippedPeaks.tsx';
import { linesOn } from './detectorLooks.ts';
import { openGroups } from './folding.ts';
import { Shades } from './Shades.tsx';
import { StaveCard } from './StaveCard.tsx';
import { armReachOf, thrustBand } from './signal/thrustBand.ts';
import { Thresholds } from './Thresholds.tsx';
import { ImpactCaution, ThrustCaution } from './tune/cautions.tsx';
import { FoldStave } from './tune/FoldedStaves.tsx';
import { PressesOnTrace } from './tune/PressesOnTrace.tsx';
import { WhyLine } from './tune/WhyLine.tsx';
import { WrongWalk } from './tune/WrongWalk.tsx';
import { useFrozenRange } from './useFrozenRange.ts';

const SPEED_LINES = linesOn('speed').filter(({ isQuiet }) => !isQuiet);
const QUIET_LINES = linesOn('speed').filter(({ isQuiet }) => isQuiet);
const THRUST_LINES = linesOn('thrust');
const IMPACT_LINES = linesOn('impact');

export interface StaveProps {
  readonly window: TimeWindow;
  readonly a: Verdicts;
  readonly b: Verdicts | null;
}

export function SpeedStave({ take, window, a, b }: StaveProps & { readonly take: OpenTake }) {
  const candidates = bothCandidates.value;
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
  const clipped = clippedSwings.value.length;
  const edited = sight.slot.value === 'b' && b ? b : a;
  const quiet = QUIET_LINES.filter(({ hue }) => openGroups.value.has(hue));
  return (
    <StaveCard
      name="speed"
      title="Swing speed"
      unit="°/s · right: m/s at the tip"
      under={<WhyLine verdict={edited} window={window} />}
      note={
        <>
          {clipped > 0 && (
            <span class="caution" title="These swings were faster than the sensor could say">
              {counted(clipped, 'peak is', 'peaks are')} clipped
            </span>
          )}
          <WrongWalk verdict={edited} window={window} />
        </>
      }
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
      over={(height, width) => (
        <>
          <Shades spans={spinning.value.spans} {...{ window, width, height }} />
          <ClippedPeaks {...{ window, range, width, height }} />
          <Thresholds lines={quiet} range={range} height={height} isQuiet />
          <Thresholds lines={SPEED_LINES} range={range} height={height} />
          <PressesOnTrace verdict={edited} {...{ window, range, width, height }} />
        </>
      )}
    />
  );
}

export function ThrustStave({ take, window, a, b }: StaveProps & { readonly take: OpenTake }) {
  const candidates = bothCandidates.value;
  const { leverArmM } = take.document.calibration;
  const reachM = armReachOf(take);
  const band = useMemo(() => (reachM > 0 ? thrustBand(a.signals, reachM) : []), [a.signals, reachM]);
  // Fainter than the thrust itself, which they lie over.
  const thin = { colour: `${palette.value.stab}55`, width: 0.75 };
  const ofB = b !== null && b.signals.thrustG !== a.signals.thrustG ? [b.signals.thrustG] : [];
  const level = Math.max(candidates.a.stab.thrustG, b ? candidates.b.stab.thrustG : 0);
  const low = Math.min(-0.5, lowest(a.signals.thrustG) * 1.1);
  const range = useFrozenRange(low, topFor(low, level, highest(a.signals.thrustG) * 1.1));
  return (
    <StaveCard
      name="thrust"
      fold={<FoldStave name="thrust" />}
      title="Thrust along the blade"
      unit={
        leverArmM > 0
          ? `g · gravity and the swing’s pull at ${leverArmM} m removed${band.length > 0 ? ' · faint: as the arm varies' : ''}`
          : 'g · gravity removed'
      }
      note={<ThrustCaution take={take} />}
      timeline={a.signals}
      channels={[a.signals.thrustG, ...ofB, ...band]}
      traces={[{ colour: palette.value.stab }, ...ofB.map(() => dashed('stab')), ...band.map(() => thin)]}
      window={window}
      range={range}
      format={(value) => trueMinus(String(Number(value.toFixed(2))))}
      readOut={(value) => `${fixed(value, 2)} g`}
      over={(height) => <Thresholds lines={THRUST_LINES} range={range} height={height} />}
    />
  );
}

export function ImpactStave({ window, a, b }: StaveProps) {
  const candidates = bothCandidates.value;
  const { impact } = candidates[sight.slot.value];
  const ofB = b !== null && b.signals.impactG !== a.signals.impactG ? [b.signals.impactG] : [];
  const rise = impact.allowanceGPer100Dps / 100;
  const edited = sight.slot.value === 'b' && b ? b : a;
  const level = Math.max(candidates.a.impact.impactG, b ? candidates.b.impact.impactG : 0);
  const raised = impact.impactG + rise * highest(edited.signals.swingSpeedDps);
  const range = useFrozenRange(0, topFor(0, level, 1.05 * Math.max(raised, highest(a.signals.impactG))));
  return (
    <StaveCard
      name="impact"
      fold={<FoldStave name="impact" />}
      title="Impact"
      unit={`g · the part of the force above ${impact.highPassHz} Hz${rise > 0 ? ' · faint: the level as swing speed raises it' : ''}`}
      note={<ImpactCaution rateHz={a.signals.rateHz} />}
      timeline={a.signals}
      channels={[a.signals.impactG, ...ofB, ...(rise > 0 ? [edited.signals.swingSpeedDps] : [])]}
      traces={[
        { colour: palette.value.impact },
        ...ofB.map(() => dashed('impact')),
        ...(rise > 0 ? [{ colour: `${palette.value.impact}77`, width: 1 }] : []),
      ]}
      {...(rise > 0 ? { drawnAs: { [1 + ofB.length]: [impact.impactG, rise] as const } } : {})}
      window={window}
      range={range}
      hasTimeAxis
      format={(value) => String(Number(value.toFixed(2)))}
      readOut={(value) => `${fixed(value, 2)} g`}
      over={(height) => <Thresholds lines={IMPACT_LINES} range={range} height={height} />}
    />
  );
}

/** The trace of candidate B where its signal is another than A's. */
function dashed(hue: 'stab' | 'impact') {
  return { colour: palette.value[hue], isDashed: true, width: 1 };
}
