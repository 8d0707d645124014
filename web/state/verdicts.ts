import { computed, type ReadonlySignal } from '@preact/signals';
import type { Press, Span } from '../../server/engine/base/log.ts';
import {
  type GestureDetectorId,
  type GestureSettings,
  gestureDetector,
  ofEachGesture,
} from '../../server/engine/detect/detectors.ts';
import { findPressMoments, judgePresses } from '../../server/engine/detect/presses.ts';
import { findClosedRuns, findDeflections } from '../../server/engine/detect/speedRuns.ts';
import { areSpinsGiven } from '../../server/engine/labels/labels.ts';
import type { Signals } from '../../server/engine/motion/signals.ts';
import { scoreDeflection } from '../../server/engine/score/deflectionScore.ts';
import { scoreDial } from '../../server/engine/score/dialScore.ts';
import { scoreGesture } from '../../server/engine/score/gestureScore.ts';
import { scoreGuard } from '../../server/engine/score/guardScore.ts';
import { findStops } from '../../server/engine/score/waitAfterStop.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { extremesOf } from '../charts/extremes.ts';
import { dialOf, firesOf, signalKey, signalsFor, truthOf } from './longTake.ts';
import type { Slot } from './model.ts';
import { allPresses, deflectionPresses, openLabels, openMotion, openTake, powerPresses } from './openTake.ts';
import { candidates } from './store.ts';

/*
 * A graph: each part reads the parts that it rests on and nothing else, so it is computed again only when one of those is
 * another object. What is in sight, and whatever else a document tells, is none of them.
 */

const pressLabels = computed(() => openLabels.value.presses);
export const spanLabels = computed(() => openLabels.value.spans);
const swingLabels = computed(() => openLabels.value.swings);

/** What both candidates are scored against; a press label leaves it as it is. */
export const truth = computed(() => {
  const labels = { spans: spanLabels.value, swings: swingLabels.value };
  return openMotion.value && truthOf(openMotion.value, labels, openTake.peek()?.ready() ?? null);
});

/** Where spins are: the labelled spans where there are any, else the program's proposal. */
export const spinning = computed<{ spans: readonly Span[]; areProposed: boolean }>(() => ({
  spans: truth.value?.spinning ?? [],
  areProposed: !areSpinsGiven({ spans: spanLabels.value }),
}));

interface Made {
  readonly key: string;
  readonly presses: readonly Press[];
  readonly deflectionPresses: readonly Press[] | null;
  readonly signals: Signals;
}

/** The motion with the signals that each candidate had last of it: none outlives it. */
const made = computed(() => {
  const motion = openMotion.value;
  // With a motion come its signals: a take that is opened anew has both anew.
  const ready = openTake.peek()?.ready ?? (() => null);
  return motion && { motion, ready, last: new Map<Slot, Made>() };
});

const NO_PRESSES: readonly Press[] = [];

/**
 * A candidate's signals. Both share one computation while they smooth alike, and none is made again for a threshold or a
 * label: that is what keeps a drag within a frame.
 */
function signalsOf(slot: Slot): ReadonlySignal<Signals | null> {
  const candidate = candidates[slot];
  const key = computed(() => signalKey(candidate.value));
  const presses = computed(() => (candidate.value.twist.startAt === 'hold' ? allPresses.value : NO_PRESSES));
  return computed(() => {
    if (!made.value) return null;
    const { motion, ready, last } = made.value;
    const mine = { key: key.value, presses: presses.value, deflectionPresses: deflectionPresses.value };
    const alike = [...last.values()].find(
      (one) =>
        one.key === mine.key &&
        one.presses === mine.presses &&
        one.deflectionPresses === mine.deflectionPresses,
    );
    const signals =
      alike?.signals ?? signalsFor(motion, candidate.peek(), mine.presses, mine.deflectionPresses, ready());
    last.set(slot, { ...mine, signals });
    return signals;
  });
}

/** A record of plain values, the same object while they are the same. */
function whileSame<Value extends object>(read: () => Value): ReadonlySignal<Value> {
  let last: Value | null = null;
  return computed(() => {
    const now = read();
    if (last === null || JSON.stringify(now) !== JSON.stringify(last)) last = now;
    return last;
  });
}

/** Verdicts of one candidate on the open take. */
function verdictsOf(slot: Slot) {
  const signals = signalsOf(slot);
  const settings = <Group extends keyof Candidate>(group: Group): ReadonlySignal<Candidate[Group]> =>
    computed(() => candidates[slot].value[group]);
  const [guard, deflection] = [settings('guard'), settings('deflection')];
  const gestures = ofEachGesture((id) => settings<keyof Candidate>(id));
  const twist = settings('twist');
  const restsOn = (id: GestureDetectorId): GestureSettings =>
    Object.fromEntries(
      gestureDetector(id).restsOn.map((group) => [group, gestures[group].value]),
    ) as unknown as GestureSettings;
  /** A part that rests on the signals; null while no take is open. */
  const part = <Value>(compute: (signals: Signals) => Value): ReadonlySignal<Value | null> =>
    computed(() => signals.value && compute(signals.value));

  const closed = part((now) => findClosedRuns(now, extremesOf(now.swingSpeedDps), guard.value));
  const rule = whileSame(() => {
    const { decideAt, heldLimitMs, pressLength, longFromMs, debounceMs } = guard.value;
    return { decideAt, heldLimitMs, pressLength, longFromMs, debounceMs };
  });
  const moments = part((now) => findPressMoments(now, powerPresses.value, rule.value));
  const presses = part((now) =>
    judgePresses(
      now,
      closed.value!,
      powerPresses.value,
      guard.value,
      moments.value!,
      extremesOf(now.swingSpeedDps),
    ),
  );
  const deflections = part((now) => findDeflections(now, extremesOf(now.swingSpeedDps), deflection.value));
  const fires = ofEachGesture((id) => part((now) => firesOf(id, now, restsOn(id))));
  const dial = part((now) => dialOf(now, twist.value));
  const dialScore = part(({ timeUs }) => scoreDial(timeUs, dial.value!, openLabels.value));
  const spins = computed(() => truth.value?.spinning);
  const guardDps = computed(() => guard.value.speedDps);
  const stops = part((now) => findStops(now, extremesOf(now.trueSpeedDps), guardDps.value));
  const guardScore = part((now) =>
    scoreGuard({
      signals: now,
      closed: closed.value!,
      verdicts: presses.value!,
      labels: { presses: pressLabels.value },
      spinning: spins.value!,
      settings: guard.value,
      stops: stops.value!,
    }),
  );
  const deflectionScore = part((now) =>
    scoreDeflection({
      signals: now,
      fires: deflections.value,
      swings: truth.value!.swings,
      settings: deflection.value,
    }),
  );
  const gestureScores = ofEachGesture((id) =>
    // A simulation that labelled anything at all has labelled every gesture.
    part((now) => scoreGesture(id, now, fires[id].value!, openLabels.value, restsOn(id))),
  );
  return part((now) => ({
    signals: now,
    closed: closed.value!,
    presses: presses.value!,
    /** When each press acts, whatever the guard. */
    moments: moments.value!,
    /** null where nobody knows when the deflection's button was held; so is its score. */
    deflections: deflections.value,
    fires: ofEachGesture((id) => fires[id].value!),
    dial: dial.value!,
    dialScore: dialScore.value!,
    guardScore: guardScore.value!,
    deflectionScore: deflectionScore.value,
    gestureScores: ofEachGesture((id) => gestureScores[id].value!),
  }));
}

export type Verdicts = NonNullable<ReturnType<typeof verdictsOf>['value']>;

export const verdicts: Readonly<Record<Slot, ReadonlySignal<Verdicts | null>>> = {
  a: verdictsOf('a'),
  b: verdictsOf('b'),
};
