import type { ComponentChildren } from 'preact';
import { useMemo } from 'preact/hooks';
import { type Decline, declineOn } from '../../../server/engine/choose/decline.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import type { Evidence } from '../../../server/engine/choose/problem.ts';
import type { SweepGrid } from '../../../server/engine/sweep/grid.ts';
import { judge } from '../../state/judging.ts';
import { editedCandidate } from '../../state/store.ts';
import { sweptMap, takeInputs } from '../../state/takeInputs.ts';
import type { ChoiceResult, ChoiceValue, GuardJob, Job } from '../../sweep/jobs.ts';
import { type JobState, useJob } from '../../sweep/useJob.ts';
import { Fold } from '../Fold.tsx';
import { ChecksCard, checksInBrief } from './ChecksCard.tsx';
import { ChoiceMap } from './ChoiceMap.tsx';
import { DEFLECTION_VIEW } from './maps/deflection.tsx';
import { GESTURE_VIEWS } from './maps/gestures.ts';
import { GUARD_VIEW, MOTION_VIEW } from './maps/guard.ts';
import type { MapView } from './maps/mapView.ts';
import { ConfirmInTune } from './motion/ConfirmInTune.tsx';
import { JudgeChoice } from './motion/JudgeChoice.tsx';
import { BesidePresses, ByPresses, RestsOnMotion } from './motion/MotionParts.tsx';
import { usePressLack } from './motion/usePressLack.ts';
import { SuggestionCard } from './SuggestionCard.tsx';
import { SweepFrame } from './SweepFrame.tsx';
import { areJudged, NoMap, OtherRules } from './SweepParts.tsx';
import { TradeOffCard } from './TradeOffCard.tsx';

/** Every setting tried at once: where a detector does well, and what to choose. */
export function SweepView() {
  const map = sweptMap.value;
  switch (map) {
    case 'guard':
      return <GuardSweepView />;
    case 'deflection':
      return <OneMap view={DEFLECTION_VIEW} />;
    default:
      return <OneMap key={map} view={GESTURE_VIEWS[map]} />;
  }
}

/** Runs the job that draws a map whenever what it is drawn from changes. */
function useMapJob<Part extends string, Grid extends SweepGrid<Part>, Own extends Evidence, Why>(
  view: MapView<Part, Grid, Own, Why>,
  isAsked = true,
): JobState<Job> {
  const takes = takeInputs.value;
  const job = view.job(takes, editedCandidate.value);
  const { takes: _, ...rest } = job;
  // The rest as text stands for the job: it must not start again for a candidate's other settings.
  const key = JSON.stringify(rest);
  const kept = useMemo(() => (takes.length === 0 || !isAsked ? null : job), [takes, key, isAsked]);
  return useJob<Job>(view.problem.kind, kept);
}

type Value<Part extends string, Grid, Own, Why> = ChoiceValue<Part, Grid, Own, Why> | null;

function OneMap<Part extends string, Grid extends SweepGrid<Part>, Own extends Evidence, Why>({
  view,
}: {
  readonly view: MapView<Part, Grid, Own, Why>;
}) {
  const job = useMapJob(view);
  return <Drawn view={view} job={job} />;
}

/** A map with its suggestion and its checks; around them what one map alone has. */
function Drawn<Part extends string, Grid extends SweepGrid<Part>, Own extends Evidence, Why>(props: {
  readonly view: MapView<Part, Grid, Own, Why>;
  readonly job: JobState<Job>;
  readonly by?: 'presses' | 'motion';
  /** What stands below the map. */
  under?(value: Value<Part, Grid, Own, Why>, result: ChoiceResult<Part, Why> | null): ComponentChildren;
  readonly title?: string;
  readonly caution?: ComponentChildren;
  beside?(result: ChoiceResult<Part, Why> | null): ComponentChildren;
}) {
  const { view, job, by, under, title, caution } = props;
  const value = job.value as unknown as Value<Part, Grid, Own, Why>;
  const result = areJudged() ? (value?.result ?? null) : null;
  const evidence = value?.evidence ?? [];
  const suggestion = result?.choice.kind === 'suggestion' ? result.choice : null;
  const map = value?.grid ? (
    <ChoiceMap view={view} grid={value.grid} suggestion={suggestion} />
  ) : (
    <NoMap evidence={evidence} />
  );
  return (
    <SweepFrame
      job={job}
      takes={takeInputs.value.length}
      {...(by && { by, choice: <JudgeChoice by={by} /> })}
      foot={<OtherRules what={view.rulesName} rulesOf={view.rulesOf} />}
    >
      {under ? (
        <div class="sweep-column">
          {map}
          {under(value, result)}
        </div>
      ) : (
        map
      )}
      <SuggestionCard
        view={view}
        result={result}
        evidence={evidence}
        base={editedCandidate.value}
        {...(title !== undefined && { title })}
        caution={caution}
        beside={props.beside?.(result)}
      />
      <Fold name="Checks" holds={checksInBrief(view, result)} class="checks-fold">
        <ChecksCard view={view} result={result} />
      </Fold>
    </SweepFrame>
  );
}

/** The guard by its presses; by motion where that is wanted, or where presses are too few and nobody said by what. */
function GuardSweepView() {
  const wanted = judge.value;
  const job = useMapJob(GUARD_VIEW, wanted !== 'motion');
  const lack = usePressLack(job as JobState<GuardJob>);
  if (wanted === 'motion' || (wanted === null && lack !== null))
    return <MotionSweepView instead={wanted === null ? lack : null} />;
  return (
    <Drawn
      view={GUARD_VIEW}
      job={job}
      by="presses"
      under={(value, result) => {
        const choice = result?.choice;
        const decline =
          choice?.kind === 'declined' ? choice.decline : declineOn(GUARD, value?.evidence ?? []);
        return (
          value?.tradeOff && (
            <Fold name="What each rule buys">
              <TradeOffCard {...value.tradeOff} decline={decline} />
            </Fold>
          )
        );
      }}
    />
  );
}

/** @param props.instead  why presses do not choose, where they were asked first. */
function MotionSweepView({ instead }: { readonly instead: Decline | null }) {
  const job = useMapJob(MOTION_VIEW);
  return (
    <Drawn
      view={MOTION_VIEW}
      job={job}
      by="motion"
      title="Suggestion by motion alone"
      caution={<RestsOnMotion />}
      under={(value, result) => (
        <>
          {result && <ConfirmInTune evidence={value?.evidence ?? []} />}
          {instead && <ByPresses decline={instead} />}
        </>
      )}
      beside={(result) => <BesidePresses agreement={result?.agreement ?? null} />}
    />
  );
}
