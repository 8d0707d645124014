import { useCallback, useMemo } from 'preact/hooks';
import { type Decline, declineOn } from '../../../server/engine/choose/decline.ts';
import { evidenceOf, type TakeEvidence } from '../../../server/engine/choose/evidence.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import { GUARD_AXES } from '../../../server/engine/choose/takeSweep.ts';
import { runGuard } from '../../../server/engine/detect/guard.ts';
import {
  type HoldCurve,
  holdCurve,
  holdsNeededMs,
  reversalRows,
} from '../../../server/engine/explain/reversalRows.ts';
import { whyLeftOut } from '../../state/fitness.ts';
import { type OpenTake, openLabels, powerPresses } from '../../state/openTake.ts';
import { editedCandidate, sight } from '../../state/store.ts';
import { takeInputs } from '../../state/takeInputs.ts';
import { takeScope } from '../../state/takeScope.ts';
import { spinning, truth, verdicts } from '../../state/verdicts.ts';
import type { ReversalsJob, Slip, TakeReversal } from '../../sweep/jobs.ts';
import { slipsOf, straysOf } from '../../sweep/slips.ts';
import { type JobState, useJob } from '../../sweep/useJob.ts';
import { useRested } from '../useRested.ts';

/** The content of the view, wherever it was computed. */
interface ReversalsShown {
  readonly rows: readonly TakeReversal[];
  readonly slips: readonly Slip[];
  readonly strays: number;
  /** Reversals of spins that nobody has confirmed. */
  readonly proposed: number;
  /** The hold that it takes at each speed, computed for whoever shows it. */
  readonly curveOf: () => HoldCurve | null;
  /** Why no change of a setting can be told; null where one can. */
  readonly decline: Decline | null;
  /** The job over several takes; null where the open take alone is shown. */
  readonly job: JobState<ReversalsJob> | null;
}

/** The open take's reversals follow every drag in the page; those of several takes come from the third thread. */
export function useReversals(take: OpenTake): ReversalsShown {
  const own = useOwnReversals(take);
  const isOpenOnly = takeScope.value.kind === 'open';
  const takes = takeInputs.value;
  const candidate = editedCandidate.value;
  const { smoothing, guard } = candidate;
  const job = useMemo<ReversalsJob | null>(
    () => (isOpenOnly || takes.length === 0 ? null : { kind: 'reversals', takes, smoothing, guard }),
    [isOpenOnly, takes, smoothing, guard],
  );
  const found = useJob('reversals', job);
  const { value } = found;
  const curve = value?.curve ?? null;
  const ofJob = useCallback(() => curve, [curve]);
  if (isOpenOnly) return { ...own, job: null };
  return {
    rows: value?.rows ?? [],
    slips: value?.slips ?? [],
    strays: value?.strays ?? 0,
    proposed: sumOfProposed(value?.evidence ?? []),
    curveOf: ofJob,
    decline: declineOn(GUARD, value?.evidence ?? []),
    job: found,
  };
}

function useOwnReversals({ document }: OpenTake): Omit<ReversalsShown, 'job'> {
  const slot = sight.slot.value;
  const verdict = verdicts[slot].value;
  const known = truth.value;
  const labels = openLabels.value;
  const { guard } = editedCandidate.value;
  const { id: takeId, title } = document;
  const signals = verdict?.signals;
  const presses = verdict?.presses;
  const reversals = known?.reversals;

  const rows = useMemo(() => {
    if (!signals || !reversals || !presses) return [];
    const found = reversalRows({ signals, reversals, verdicts: presses, labels, guard });
    return found.map((row) => ({ takeId, title, ...row }));
  }, [signals, reversals, presses, labels, guard, takeId, title]);

  const curveOf = useCallback(() => {
    if (!signals || !reversals || reversals.length === 0) return null;
    const speedsDps = GUARD_AXES.xs;
    return holdCurve(speedsDps, holdsNeededMs(signals, reversals, guard.releaseRatio, speedsDps));
  }, [signals, reversals, guard.releaseRatio]);

  // Trying fixes runs the detector over and over: that waits until a drag rests.
  const now = useMemo(
    () => (signals && presses ? { signals, presses, guard } : null),
    [signals, presses, guard],
  );
  const rested = useRested(now, 120);
  const slips = useMemo(() => {
    if (!rested || !known) return [];
    const { signals, presses, guard: settings } = rested;
    const run = { signals, closed: runGuard(signals, settings), settings, truth: known };
    return slipsOf({ id: takeId, title }, straysOf(presses, labels), run);
  }, [rested, known, labels, takeId, title]);

  const strays = presses ? straysOf(presses, labels).length : 0;
  const { id, revision, useUnfit = false } = document;
  const unfit = whyLeftOut({ id, revision, useUnfit });
  const judged = powerPresses.value;
  const decline = useMemo(() => {
    if (!signals || !known) return null;
    const take = { id: takeId, title, performer: '', signals, presses: judged, labels, truth: known, unfit };
    return declineOn(GUARD, [evidenceOf(take, guard)]);
  }, [signals, known, judged, labels, guard, takeId, title, unfit]);
  const proposed = spinning.value.areProposed ? rows.length : 0;
  return { rows, slips, strays, proposed, curveOf, decline };
}

function sumOfProposed(evidence: readonly TakeEvidence[]): number {
  return evidence.reduce((sum, take) => sum + (take.unfit === null ? take.proposedReversals : 0), 0);
}
