import { computed, type ReadonlySignal } from '@preact/signals';
import type { Span } from '../../server/engine/base/log.ts';
import { judgePresses } from '../../server/engine/detect/presses.ts';
import {
  closedSpans,
  runDeflection,
  runGuard,
  runImpact,
  runStab,
  runTwistDial,
  runTwistTrigger,
} from '../../server/engine/detect/runs.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import { computeSignals } from '../../server/engine/motion/signals.ts';
import { scoreDeflection } from '../../server/engine/score/deflectionScore.ts';
import { scoreDial } from '../../server/engine/score/dialScore.ts';
import { scoreGestures } from '../../server/engine/score/gestureScore.ts';
import { scoreGuard } from '../../server/engine/score/guardScore.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { findTruth, type Truth } from '../../server/engine/truth/truth.ts';
import { lastResult, lastResults } from './memo.ts';
import type { Slot } from './model.ts';
import { type OpenTake, openLabels, openTake, powerPresses } from './openTake.ts';
import { state } from './store.ts';

const findOnce = lastResult((motion: OpenTake['motion'], spans: Labels['spans'], swings: Labels['swings']) =>
  findTruth(motion, { presses: [], spans, swings }),
);

/** What both candidates are scored against; a press label leaves it as it is. */
export const truth = computed(() => {
  const take = openTake.value;
  return take && findOnce(take.motion, openLabels.value.spans, openLabels.value.swings);
});

/** Where spins are: the labelled spans where there are any, else the program's proposal. */
export const spinning = computed<{ spans: readonly Span[]; areProposed: boolean }>(() => ({
  spans: truth.value?.spinning ?? [],
  areProposed: !openLabels.value.spans.some((span) => span.kind === 'spinning' && span.by !== 'program'),
}));

/**
 * Each candidate's signals. Both share one computation while they smooth alike, and none is made again for a
 * threshold: that is what keeps a drag within a frame.
 */
const signalsOf = lastResults(2, (take: OpenTake, key: string, candidate: () => Candidate) => {
  void key;
  return computeSignals(take.motion, candidate(), take.document.presses);
});

function signalsFor(take: OpenTake, candidate: Candidate) {
  const { smoothing, impact, twist } = candidate;
  return signalsOf(take, JSON.stringify([smoothing, impact.highPassHz, twist.startAt]), () => candidate);
}

/** Verdicts of one candidate on the open take: every part is computed again only when what it rests on changed. */
function verdictsOf(slot: Slot) {
  const guardRun = lastResult((signals: Signals, settings: Candidate['guard']) => {
    const closed = runGuard(signals, settings);
    return { closed, spans: closedSpans(signals, closed) };
  });
  const presses = lastResult(judgePresses);
  const deflections = lastResult(runDeflection);
  const impacts = lastResult(runImpact);
  const stabs = lastResult(runStab);
  const twists = lastResult(runTwistTrigger);
  const dial = lastResult(runTwistDial);
  const dialScore = lastResult(scoreDial);
  const guardScore = lastResult(
    (
      signals: Signals,
      closed: Uint8Array,
      judged: ReturnType<typeof judgePresses>,
      labels: Labels,
      spans: readonly Span[],
      settings: Candidate['guard'],
    ) => scoreGuard({ signals, closed, verdicts: judged, labels, spinning: spans, settings }),
  );
  const deflectionScore = lastResult((signals: Signals, fires: Int32Array, swings: Truth['swings']) =>
    scoreDeflection({ signals, fires, swings }),
  );
  const gestureScores = lastResult(
    (
      signals: Signals,
      stabIndices: Int32Array,
      impactIndices: Int32Array,
      twistIndices: Int32Array,
      labels: Labels,
      stab: Candidate['stab'],
      impact: Candidate['impact'],
      twist: Candidate['twist'],
    ) =>
      scoreGestures({
        signals,
        stabs: stabIndices,
        impacts: impactIndices,
        twists: twistIndices,
        labels,
        candidate: { stab, impact, twist },
      }),
  );
  return computed(() => {
    const take = openTake.value;
    const known = truth.value;
    if (!take || !known) return null;
    const candidate = state.value.work.candidates[slot];
    const signals = signalsFor(take, candidate);
    const guard = guardRun(signals, candidate.guard);
    const verdicts = presses(signals, guard.closed, powerPresses.value, candidate.guard);
    const fires = deflections(signals, candidate.deflection);
    const impactFires = impacts(signals, candidate.impact);
    const stabFires = stabs(signals, candidate.stab, candidate.impact);
    const twistFires = twists(signals, candidate.twist);
    const dialMoves = dial(signals, candidate.twist);
    return {
      signals,
      closed: guard.closed,
      guardSpans: guard.spans,
      presses: verdicts,
      deflections: fires,
      impacts: impactFires,
      stabs: stabFires,
      twists: twistFires,
      dial: dialMoves,
      dialScore: dialScore(signals.timeUs, dialMoves, openLabels.value),
      guardScore: guardScore(
        signals,
        guard.closed,
        verdicts,
        openLabels.value,
        known.spinning,
        candidate.guard,
      ),
      deflectionScore: deflectionScore(signals, fires, known.swings),
      gestureScores: gestureScores(
        signals,
        stabFires,
        impactFires,
        twistFires,
        openLabels.value,
        candidate.stab,
        candidate.impact,
        candidate.twist,
      ),
    };
  });
}

type Signals = ReturnType<typeof computeSignals>;
export type Verdicts = NonNullable<ReturnType<typeof verdictsOf>['value']>;

export const verdicts: Readonly<Record<Slot, ReadonlySignal<Verdicts | null>>> = {
  a: verdictsOf('a'),
  b: verdictsOf('b'),
};
