import { useMemo } from 'preact/hooks';
import { declineOn } from '../../../server/engine/choose/decline.ts';
import { judge } from '../../state/judging.ts';
import { editedCandidate } from '../../state/store.ts';
import { sweptMap, takeInputs, takesInScope } from '../../state/takeInputs.ts';
import type { DeflectionJob, GuardJob } from '../../sweep/jobs.ts';
import { useJob } from '../../sweep/useJob.ts';
import { FitnessLine } from '../FitnessLine.tsx';
import { LabelDoubts } from '../labels/LabelDoubts.tsx';
import { ChecksCard, DeflectionChecksCard } from './ChecksCard.tsx';
import { DeflectionMap } from './DeflectionMap.tsx';
import { DeflectionSuggestionCard } from './DeflectionSuggestionCard.tsx';
import { GestureSweepView } from './GestureSweepView.tsx';
import { GuardMap } from './GuardMap.tsx';
import { JobBar } from './JobBar.tsx';
import { JudgeChoice } from './motion/JudgeChoice.tsx';
import { MotionSweepView } from './motion/MotionSweepView.tsx';
import { usePressLack } from './motion/usePressLack.ts';
import { SuggestionCard } from './SuggestionCard.tsx';
import { areJudged, doubtsOf, MapTabs, NoMap, OtherRules } from './SweepParts.tsx';
import { TakeScopePicker } from './TakeScopePicker.tsx';
import { TradeOffCard } from './TradeOffCard.tsx';

/** Every setting tried at once: where a detector does well, and what to choose. */
export function SweepView() {
  const map = sweptMap.value;
  if (map === 'guard') return <GuardSweepView />;
  return map === 'deflection' ? <DeflectionSweepView /> : <GestureSweepView key={map} kind={map} />;
}

function GuardSweepView() {
  const takes = takeInputs.value;
  const base = editedCandidate.value;
  const { smoothing } = base;
  const { releaseRatio, decideAt } = base.guard;
  const wanted = judge.value;
  const job = useMemo<GuardJob | null>(() => {
    if (takes.length === 0 || wanted === 'motion') return null;
    // Speed and hold are what the map spans: they must not start the job again.
    const guard = { speedDps: 240, holdMs: 0, releaseRatio, decideAt };
    return { kind: 'guard', takes, smoothing, base: guard };
  }, [takes, smoothing, releaseRatio, decideAt, wanted]);
  const found = useJob('guard', job);
  const { value } = found;
  const lack = usePressLack(found);
  if (wanted === 'motion' || (wanted === null && lack !== null)) {
    const instead = wanted === null ? lack : null;
    return <MotionSweepView takes={takes} base={base} instead={instead} />;
  }
  const verdict = areJudged() ? (value?.verdict ?? null) : null;
  const choice = verdict?.choice;
  const suggestion = choice?.kind === 'suggestion' ? choice : null;
  const decline = choice?.kind === 'declined' ? choice.decline : declineOn(value?.evidence ?? []);
  return (
    <div class="sweep">
      <div class="view-bar">
        <MapTabs />
        <TakeScopePicker />
        <JudgeChoice by="presses" />
        <JobBar job={found} />
      </div>
      {takes.length === 0 && <p class="empty">No take is chosen. Tick at least one.</p>}
      <FitnessLine takes={takesInScope.value} />
      {found.isCurrent && <LabelDoubts takes={doubtsOf(value, takes.length)} />}
      <div class={`sweep-grid ${found.isCurrent ? '' : 'is-old'}`}>
        <div class="sweep-column">
          {value?.grid ? (
            <GuardMap grid={value.grid} suggestion={suggestion} />
          ) : (
            <NoMap evidence={value?.evidence ?? []} />
          )}
          {value?.plain && (
            <TradeOffCard plain={value.plain} hysteresis={value.hysteresis} decline={decline} />
          )}
        </div>
        <SuggestionCard verdict={verdict} evidence={value?.evidence ?? []} base={base} />
        <ChecksCard verdict={verdict} />
      </div>
      <OtherRules
        what="smoothing, release ratio and moment"
        rulesOf={({ smoothing, guard }) => [smoothing, guard.releaseRatio, guard.decideAt]}
      />
    </div>
  );
}

function DeflectionSweepView() {
  const takes = takeInputs.value;
  const base = editedCandidate.value;
  const { smoothing } = base;
  const { restMs, confirmMs } = base.deflection;
  const job = useMemo<DeflectionJob | null>(() => {
    if (takes.length === 0) return null;
    const deflection = { speedDps: 240, rearmRatio: 0.6, restMs, confirmMs };
    return { kind: 'deflection', takes, smoothing, base: deflection };
  }, [takes, smoothing, restMs, confirmMs]);
  const found = useJob('deflection', job);
  const { value } = found;
  const verdict = areJudged() ? (value?.verdict ?? null) : null;
  const choice = verdict?.choice;
  return (
    <div class="sweep">
      <div class="view-bar">
        <MapTabs />
        <TakeScopePicker />
        <JobBar job={found} />
      </div>
      {takes.length === 0 && <p class="empty">No take is chosen. Tick at least one.</p>}
      <FitnessLine takes={takesInScope.value} />
      {found.isCurrent && <LabelDoubts takes={doubtsOf(value, takes.length)} />}
      <div class={`sweep-grid ${found.isCurrent ? '' : 'is-old'}`}>
        {value?.grid ? (
          <DeflectionMap grid={value.grid} suggestion={choice?.kind === 'suggestion' ? choice : null} />
        ) : (
          <NoMap evidence={value?.evidence ?? []} />
        )}
        <DeflectionSuggestionCard verdict={verdict} evidence={value?.evidence ?? []} base={base} />
        <DeflectionChecksCard verdict={verdict} />
      </div>
    </div>
  );
}
