import { useMemo } from 'preact/hooks';
import { declineOn } from '../../../server/engine/choose/decline.ts';
import { judge } from '../../state/judging.ts';
import { editedCandidate } from '../../state/store.ts';
import { sweptMap, takeInputs } from '../../state/takeInputs.ts';
import type { DeflectionJob, GuardJob } from '../../sweep/jobs.ts';
import { useJob } from '../../sweep/useJob.ts';
import { ChecksCard, DeflectionChecksCard } from './ChecksCard.tsx';
import { DeflectionMap } from './DeflectionMap.tsx';
import { DeflectionSuggestionCard } from './DeflectionSuggestionCard.tsx';
import { GestureSweepView } from './GestureSweepView.tsx';
import { GuardMap } from './GuardMap.tsx';
import { JudgeChoice } from './motion/JudgeChoice.tsx';
import { MotionSweepView } from './motion/MotionSweepView.tsx';
import { usePressLack } from './motion/usePressLack.ts';
import { SuggestionCard } from './SuggestionCard.tsx';
import { SweepFrame } from './SweepFrame.tsx';
import { areJudged, NoMap, OtherRules } from './SweepParts.tsx';
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
    <SweepFrame
      job={found}
      takes={takes.length}
      by="presses"
      choice={<JudgeChoice by="presses" />}
      foot={
        <OtherRules
          what="smoothing, release ratio and moment"
          rulesOf={({ smoothing, guard }) => [smoothing, guard.releaseRatio, guard.decideAt]}
        />
      }
    >
      <div class="sweep-column">
        {value?.grid ? (
          <GuardMap grid={value.grid} suggestion={suggestion} />
        ) : (
          <NoMap evidence={value?.evidence ?? []} />
        )}
        {value?.plain && <TradeOffCard plain={value.plain} hysteresis={value.hysteresis} decline={decline} />}
      </div>
      <SuggestionCard verdict={verdict} evidence={value?.evidence ?? []} base={base} />
      <ChecksCard verdict={verdict} />
    </SweepFrame>
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
    <SweepFrame job={found} takes={takes.length}>
      {value?.grid ? (
        <DeflectionMap grid={value.grid} suggestion={choice?.kind === 'suggestion' ? choice : null} />
      ) : (
        <NoMap evidence={value?.evidence ?? []} />
      )}
      <DeflectionSuggestionCard verdict={verdict} evidence={value?.evidence ?? []} base={base} />
      <DeflectionChecksCard verdict={verdict} />
    </SweepFrame>
  );
}
