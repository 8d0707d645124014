import { useMemo } from 'preact/hooks';
import {
  type GestureBase,
  type GestureMapKind,
  gestureMap,
  withXY,
} from '../../../server/engine/choose/gestures/maps.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { editedCandidate } from '../../state/store.ts';
import { takeInputs } from '../../state/takeInputs.ts';
import type { GestureJob } from '../../sweep/jobs.ts';
import { useJob } from '../../sweep/useJob.ts';
import { GestureChecksCard } from './GestureChecksCard.tsx';
import { GestureMapCard } from './GestureMapCard.tsx';
import { GestureSuggestionCard } from './GestureSuggestionCard.tsx';
import { SweepFrame } from './SweepFrame.tsx';
import { areJudged, NoMap, OtherRules } from './SweepParts.tsx';

/** The map of a detector of gestures, and what to choose. */
export function GestureSweepView({ kind }: { readonly kind: GestureMapKind }) {
  const takes = takeInputs.value;
  const candidate = editedCandidate.value;
  const { smoothing } = candidate;
  const base = sweptBase(candidate, kind);
  const baseKey = JSON.stringify(base);
  // The key stands for the base.
  const job = useMemo<GestureJob | null>(
    () => (takes.length === 0 ? null : { kind, takes, smoothing, base }),
    [kind, takes, smoothing, baseKey],
  );
  const found = useJob<GestureJob>(kind, job);
  const { value } = found;
  const verdict = areJudged() ? (value?.verdict ?? null) : null;
  const evidence = value?.evidence ?? [];
  const choice = verdict?.choice;
  return (
    <SweepFrame
      job={found}
      takes={takes.length}
      foot={
        <OtherRules
          what="smoothing and other settings"
          rulesOf={(one) => [one.smoothing, sweptBase(one, kind)]}
        />
      }
    >
      {value?.grid ? (
        <GestureMapCard
          kind={kind}
          grid={value.grid}
          suggestion={choice?.kind === 'suggestion' ? choice : null}
        />
      ) : (
        <NoMap evidence={evidence} />
      )}
      <GestureSuggestionCard kind={kind} verdict={verdict} evidence={evidence} base={candidate} />
      <GestureChecksCard kind={kind} verdict={verdict} />
    </SweepFrame>
  );
}

/** What of a candidate the map rests on. The two settings that it spans must not start the job again, nor may others. */
function sweptBase(candidate: GestureBase, kind: GestureMapKind): GestureBase {
  const { x, y, restsOn } = gestureMap(kind);
  const of = <Group extends GestureMapKind>(group: Group) =>
    restsOn.includes(group) ? candidate[group] : DEFAULT_CANDIDATE[group];
  const base = { stab: of('stab'), impact: of('impact'), twist: of('twist') };
  return withXY(base, kind, x.values[0]!, y.values[0]!);
}
