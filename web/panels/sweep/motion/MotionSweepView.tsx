import { useMemo } from 'preact/hooks';
import type { Decline } from '../../../../server/engine/choose/decline.ts';
import type { Candidate } from '../../../../server/engine/settings/candidate.ts';
import { patienceMs } from '../../../state/judging.ts';
import type { JobTake, MotionJob } from '../../../sweep/jobs.ts';
import { useJob } from '../../../sweep/useJob.ts';
import { ChecksCard } from '../ChecksCard.tsx';
import { GuardMap } from '../GuardMap.tsx';
import { SweepFrame } from '../SweepFrame.tsx';
import { areJudged, NoMap, OtherRules } from '../SweepParts.tsx';
import { ConfirmInTune } from './ConfirmInTune.tsx';
import { JudgeChoice } from './JudgeChoice.tsx';
import { ByPresses, MotionSuggestionCard } from './MotionSuggestionCard.tsx';
import { MOTION_UNITS, WrongUnitHeads } from './motionUnits.tsx';

const JUDGED = { judged: 'spins and stops', unit: 'spin or stop', wrongHeads: <WrongUnitHeads /> };

/** The guard's sweep where no press is asked: spins and stops alone say which settings do. */
export function MotionSweepView(props: {
  readonly takes: readonly JobTake[];
  readonly base: Candidate;
  /** Why presses do not choose, where they were asked first. */
  readonly instead: Decline | null;
}) {
  const { takes, base, instead } = props;
  const { smoothing } = base;
  const { releaseRatio, decideAt } = base.guard;
  const patience = patienceMs.value;
  const job = useMemo<MotionJob | null>(() => {
    if (takes.length === 0) return null;
    const guard = { speedDps: 240, holdMs: 0, releaseRatio, decideAt };
    return { kind: 'motion', takes, smoothing, base: guard, patienceMs: patience };
  }, [takes, smoothing, releaseRatio, decideAt, patience]);
  const found = useJob('motion', job);
  const { value } = found;
  const verdict = areJudged() ? (value?.verdict ?? null) : null;
  const evidence = value?.evidence ?? [];
  return (
    <SweepFrame
      job={found}
      takes={takes.length}
      by="motion"
      choice={<JudgeChoice by="motion" />}
      foot={
        <OtherRules
          what="smoothing and release ratio"
          rulesOf={({ smoothing, guard }) => [smoothing, guard.releaseRatio]}
        />
      }
    >
      <div class="sweep-column">
        {value?.grid ? (
          <GuardMap
            grid={value.grid}
            suggestion={verdict?.choice.kind === 'suggestion' ? verdict.choice : null}
            units={MOTION_UNITS}
          />
        ) : (
          <NoMap evidence={evidence} />
        )}
        {verdict && <ConfirmInTune evidence={evidence} />}
        {instead && <ByPresses decline={instead} />}
      </div>
      <MotionSuggestionCard verdict={verdict} evidence={evidence} base={base} />
      <ChecksCard verdict={verdict} units={JUDGED} />
    </SweepFrame>
  );
}
