import { useMemo, useRef } from 'preact/hooks';
import {
  isWindowed,
  type SmoothingSettings,
  smoothingApplies,
} from '../../../server/engine/filter/smoothing.ts';
import { highest } from '../../charts/extremes.ts';
import { palette } from '../../charts/palette.ts';
import { wholeTake } from '../../charts/view.ts';
import type { TimeWindow } from '../../state/model.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { bothCandidates, dispatch, editedCandidate, sight } from '../../state/store.ts';
import { type Verdicts, verdicts } from '../../state/verdicts.ts';
import { Question, useQuestion } from '../../takes/question.ts';
import { calibratedOf, type Request } from '../../takes/requests.ts';
import { Fold } from '../Fold.tsx';
import { OverviewStrip } from '../OverviewStrip.tsx';
import { SmoothingFields } from '../SmoothingFields.tsx';
import { StaveCard } from '../StaveCard.tsx';
import { OPEN_TAKE, useNavigation } from '../useNavigation.tsx';
import { BeforeAfterPlot } from './BeforeAfterPlot.tsx';
import { CostFigures } from './CostFigures.tsx';
import { CostTable } from './CostTable.tsx';
import { DelayPlot, ResponsePlot } from './ResponsePlots.tsx';

const bench = new Question<'bench'>('view');

/** What does smoothing cost? How late, how much of a peak, how calm; the traces; on asking all figures, and graphs by frequency. */
export function BenchView({ take }: { readonly take: OpenTake }) {
  const candidates = bothCandidates.value;
  const isBShown = sight.showB.value;
  const a = verdicts.a.value;
  const b = isBShown ? verdicts.b.value : null;
  const { id, calibration, mapping } = take.document;
  const [ofA, ofB] = [candidates.a.smoothing, candidates.b.smoothing];
  const areAlike = JSON.stringify(ofA) === JSON.stringify(ofB);
  const smoothings = useMemo(
    () => (isBShown && !areAlike ? [ofA, ofB] : [ofA]),
    [isBShown, areAlike, ofA, ofB],
  );
  // Said once where both smooth alike.
  const names = isBShown && areAlike ? ['A and B'] : ['A', 'B'].slice(0, smoothings.length);
  const request = useMemo<Request<'bench'>>(
    () => ({ kind: 'bench', ...calibratedOf(take.document), smoothings }),
    [id, calibration, mapping, smoothings],
  );
  const known = useQuestion(bench, request);
  if (!a) return null;
  const { rateHz } = take.motion;
  const costs = smoothings.map((_, k) => (known.of?.takeId === id ? known.value?.[k] : undefined));
  return (
    <div class="bench">
      {smoothings.map((one, k) => (
        <NotApplied key={names[k]} name={names[k]!} smoothing={one} rateHz={rateHz} />
      ))}
      {known.error !== null && <p class="caution-line">The cost could not be measured: {known.error}</p>}
      <div class="bench-figures">
        <CostFigures rateHz={rateHz} names={names} smoothings={smoothings} costs={costs} />
        <SmoothingCard />
      </div>
      <Traces take={take} a={a} b={b} />
      <Fold name="All figures" holds="median and worst, delay by frequency, noise">
        <CostTable rateHz={rateHz} names={names} smoothings={smoothings} costs={costs} />
      </Fold>
      <Fold name="Graphs" holds="response, delay and spectrum by frequency">
        <div class="bench-plots">
          <ResponsePlot rateHz={rateHz} names={names} smoothings={smoothings} />
          <DelayPlot rateHz={rateHz} names={names} smoothings={smoothings} />
          <BeforeAfterPlot names={names} costs={costs.flatMap((cost) => cost ?? [])} />
        </div>
      </Fold>
    </div>
  );
}

function NotApplied(props: { name: string; smoothing: SmoothingSettings; rateHz: number }) {
  const { smoothing, rateHz } = props;
  if (smoothing.kind === 'none' || smoothingApplies(smoothing, rateHz)) return null;
  return (
    <p class="caution-line">
      {props.name}:{' '}
      {isWindowed(smoothing.kind)
        ? `${smoothing.lengthMs} ms hold one sample of this log of ${rateHz.toFixed(0)} Hz`
        : `a cutoff of ${smoothing.cutoffHz} Hz is too near to half this log’s rate of ${rateHz.toFixed(0)} Hz`}
      , so nothing is smoothed here.
    </p>
  );
}

function SmoothingCard() {
  const slot = sight.slot.value;
  const { smoothing } = editedCandidate.value;
  return (
    <section class="card settings" aria-label="Smoothing">
      <header>
        <h2>Smoothing</h2>
        <span class="choices" role="group" aria-label="Candidate to edit">
          {(['a', 'b'] as const).map((id) => (
            <button
              key={id}
              type="button"
              class="small"
              aria-pressed={slot === id}
              onClick={() => dispatch({ type: 'slotChosen', slot: id })}
            >
              {id.toUpperCase()}
            </button>
          ))}
        </span>
      </header>
      <SmoothingFields kind={smoothing.kind} />
    </section>
  );
}

function Traces({
  take,
  a,
  b,
}: {
  readonly take: OpenTake;
  readonly a: Verdicts;
  readonly b: Verdicts | null;
}) {
  const column = useRef<HTMLDivElement>(null);
  const band = useNavigation(column, OPEN_TAKE);
  const whole = useMemo(() => wholeTake(take.durationUs), [take.durationUs]);
  const raw = useMemo(() => rawSpeed(take), [take.motion]);
  const window: TimeWindow = sight.window.value ?? whole;
  const { ink, guard, quiet } = palette.value;
  const isSecond = b !== null && b.signals !== a.signals;
  const solid = b !== null && !isSecond ? 'A and B, which smooth alike' : 'A';
  return (
    <div class="bench-traces" ref={column}>
      <StaveCard
        name="bench"
        title="Swing speed, raw and smoothed"
        unit={`°/s · thin: raw · solid: ${solid}${isSecond ? ' · dashed: B' : ''}`}
        timeline={a.signals}
        channels={[a.signals.swingSpeedDps, raw, ...(isSecond ? [b.signals.swingSpeedDps] : [])]}
        traces={[
          { colour: guard, width: 1.75 },
          { colour: quiet, width: 0.75 },
          ...(isSecond ? [{ colour: ink, isDashed: true, width: 1.5 }] : []),
        ]}
        window={window}
        range={[0, Math.max(1, highest(raw)) * 1.06]}
        hasTimeAxis
        format={(value) => String(Math.round(value))}
        readOut={(value) => `${value.toFixed(0)} °/s smoothed`}
        over={() => null}
      />
      <OverviewStrip take={take} signals={a.signals} window={window} />
      {band}
    </div>
  );
}

function rawSpeed({ motion: { gyroYDps, gyroZDps } }: OpenTake): Float64Array {
  const speed = new Float64Array(gyroYDps.length);
  for (let i = 0; i < speed.length; ++i)
    speed[i] = Math.sqrt(gyroYDps[i]! * gyroYDps[i]! + gyroZDps[i]! * gyroZDps[i]!);
  return speed;
}
