import { expect } from 'vitest';
import type { Press, Span } from '../../../server/engine/base/log.ts';
import { scoreMotion } from '../../../server/engine/choose/motion/motionScore.ts';
import {
  countClosed,
  firstClosedIn,
  firstOpenIn,
  isClosedAt,
  lastClosedIn,
  spanOfRun,
} from '../../../server/engine/detect/closedRuns.ts';
import { type DeflectionSettings, runDeflection } from '../../../server/engine/detect/deflection.ts';
import { closedSpans, type GuardSettings, runGuard } from '../../../server/engine/detect/guard.ts';
import { findPressMoments, isAcceptedAt, judgePresses } from '../../../server/engine/detect/presses.ts';
import { findClosedRuns, findDeflections } from '../../../server/engine/detect/speedRuns.ts';
import type { Labels } from '../../../server/engine/labels/labels.ts';
import type { SpeedSignals } from '../../../server/engine/motion/signals.ts';
import { scoreGuard } from '../../../server/engine/score/guardScore.ts';
import { findStops, stopIndices } from '../../../server/engine/score/waitAfterStop.ts';
import { findExtremes } from '../../../server/engine/statistics/extremes.ts';

/** A take with its extremes, found once for any number of settings. */
export function extremesOfBoth(signals: SpeedSignals) {
  return { speed: findExtremes(signals.swingSpeedDps), trueSpeed: findExtremes(signals.trueSpeedDps) };
}

interface Judged {
  readonly signals: SpeedSignals;
  readonly extremes: ReturnType<typeof extremesOfBoth>;
  readonly presses: readonly Press[];
  readonly labels: Pick<Labels, 'presses'>;
  readonly spinning: readonly Span[];
}

/** Expects of a guard from crossing to crossing all that the pass over every sample gives, to the last bit. */
export function expectSameGuard(take: Judged, settings: GuardSettings, patienceMs: number): void {
  const { signals, extremes, presses, labels, spinning } = take;
  const samples = runGuard(signals, settings);
  const runs = findClosedRuns(signals, extremes.speed, settings);
  expect(Buffer.compare(runs.asSamples, samples)).toBe(0);
  expect(runs.runs.map((run) => spanOfRun(signals, run))).toEqual(closedSpans(signals, samples));

  const stops = findStops(signals, extremes.trueSpeed, settings.speedDps);
  expect(stops).toEqual(stopIndices(signals, settings.speedDps));

  const moments = findPressMoments(signals, presses, settings);
  const verdicts = judgePresses(signals, runs, presses, settings, moments);
  expect(verdicts).toEqual(judgePresses(signals, samples, presses, settings));
  expect(judgePresses(signals, runs, presses, settings, moments, extremes.speed)).toEqual(verdicts);
  expect(moments.map((moment) => isAcceptedAt(runs, moment))).toEqual(
    verdicts.map(({ accepted }) => accepted),
  );
  const judged = { signals, verdicts, labels, spinning, settings };
  expect(scoreGuard({ ...judged, closed: runs, stops })).toEqual(scoreGuard({ ...judged, closed: samples }));

  const stopsUs = stops.map((index) => signals.timeUs[index]!);
  const units = { spins: spinning, stopsUs, isConfirmed: true, waiting: { spins: 0, stops: 0 } };
  expect(scoreMotion(signals, runs, units, patienceMs)).toEqual(
    scoreMotion(signals, samples, units, patienceMs),
  );
}

/** Expects the same answers of runs as of samples to everything that is asked of a stretch. */
export function expectSameStretch(
  { signals, extremes }: Pick<Judged, 'signals' | 'extremes'>,
  settings: GuardSettings,
  start: number,
  end: number,
): void {
  const samples = runGuard(signals, settings);
  const runs = findClosedRuns(signals, extremes.speed, settings);
  for (const ask of [countClosed, firstOpenIn, firstClosedIn, lastClosedIn])
    expect([ask.name, ask(runs, start, end)]).toEqual([ask.name, ask(samples, start, end)]);
  expect(isClosedAt(runs, start)).toBe(isClosedAt(samples, start));
}

export function expectSameDeflections(
  { signals, extremes }: Pick<Judged, 'signals' | 'extremes'>,
  settings: DeflectionSettings,
): void {
  expect(findDeflections(signals, extremes.speed, settings)).toEqual(runDeflection(signals, settings));
}
