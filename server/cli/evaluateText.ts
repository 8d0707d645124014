import type { Calibration } from '../engine/calibrate/calibration.ts';
import { assumesMount, type SignalCheck } from '../engine/check/checkSignals.ts';
import type { MotionScore } from '../engine/choose/motion/motionScore.ts';
import { GESTURE_DETECTOR_IDS, gestureDetector } from '../engine/detect/detectors.ts';
import type { CauseSearch } from '../engine/device/findCause.ts';
import { missReasons } from '../engine/explain/missedSwings.ts';
import type { Motion } from '../engine/motion/motion.ts';
import type { Evaluation } from '../engine/score/evaluate.ts';
import { listEvents } from '../engine/score/listEvents.ts';
import type { Proportion } from '../engine/score/proportion.ts';
import { type WordedLine, wordedCheck } from '../engine/words/check/check.ts';
import { counted, percent, percentRange, trueMinus } from '../engine/words/count.ts';
import { NO_DEFLECTION_BUTTON } from '../engine/words/deflectionButton.ts';
import { eventReason } from '../engine/words/events.ts';
import { missCountsText } from '../engine/words/misses.ts';
import { assumedMountText } from '../engine/words/mount.ts';
import type { ReadTake } from '../ingest/ground/types.ts';
import { deviceDocument, deviceLines } from './deviceText.ts';
import { describeCheck } from './inspectCheck.ts';
import { motionLines } from './motionText.ts';

export interface EvaluatedTake {
  readonly take: ReadTake;
  readonly motion: Motion;
  readonly evaluation: Evaluation;
  /** The guard's score by motion, with spins and stops in place of presses. */
  readonly byMotion: MotionScore;
  readonly check: SignalCheck;
  /** How far the prop's own decisions are the bench's, and why not; null where the log does not tell of any. */
  readonly device: CauseSearch | null;
  readonly calibration: Calibration;
  readonly powerButton: string | null;
  readonly deflectionButton: string | null;
  /** A sentence about labels that do not fit the take; null where all do. */
  readonly labelsLeftOut: string | null;
}

const EVENTS_SHOWN = 200;

/** The whole outcome as one JSON document. */
export function toDocument(names: readonly string[], evaluated: EvaluatedTake): unknown {
  const { evaluation, check, calibration, powerButton, deflectionButton } = evaluated;
  const { falseAccepts, falseRejects, ...guard } = evaluation.guardScore;
  return {
    files: names,
    candidate: evaluation.candidate,
    calibration: {
      mount: calibration.mount,
      leverArmM: calibration.leverArmM,
      bladeLengthM: calibration.bladeLengthM,
    },
    powerButton,
    deflectionButton,
    check: { verdict: check.verdict, ...failedLines(check) },
    summary: summarise(evaluated),
    events: listEvents(evaluation).map((event) => {
      return { kind: event.kind, timeS: event.timeUs / 1e6, reason: eventReason(event) };
    }),
    scores: {
      guard: { strayLetThrough: falseAccepts, wantedRefused: falseRejects, ...guard },
      guardByMotion: evaluated.byMotion,
      deflection: evaluation.deflectionScore,
      gestures: byGesture(evaluation),
      dial: evaluation.dialScore,
    },
    device: deviceDocument(evaluated.device),
    warnings: warningsOf(evaluated),
  };
}

/** The document names scores by the gesture: they were there before the detectors had names of their own. */
function byGesture({ gestureScores }: Evaluation): Record<string, unknown> {
  return Object.fromEntries(
    GESTURE_DETECTOR_IDS.map((id) => [gestureDetector(id).gesture, gestureScores[id]]),
  );
}

/** The whole outcome for people to read. */
export function describeEvaluation(names: readonly string[], evaluated: EvaluatedTake): string {
  const { evaluation } = evaluated;
  const { guardScore: guard } = evaluation;
  const summary = summarise(evaluated);
  const lines = [
    names.join(' + '),
    ...describeVerdict(evaluated.check),
    `  ${summary.samples} samples, ${summary.durationS.toFixed(3)} s at ${summary.rateHz.toFixed(2)} Hz`,
    `  peak swing speed ${shown(summary.peakSwingSpeedDps)} °/s, thrust ${shown(summary.peakThrustG)} g, impact ${shown(summary.peakImpactG)} g`,
    `  swings ${summary.swings}, reversals ${summary.reversals}, spinning ${guard.spinningS.toFixed(1)} s`,
    `  stray presses let through: ${fraction(guard.falseAccepts)}`,
    `  wanted presses refused: ${fraction(guard.falseRejects)}`,
    `  presses without a label: ${guard.unlabelled}`,
    `  guard open while spinning: ${guard.openShare === null ? 'no spinning' : percent(guard.openShare, 1)}`,
    ...motionLines(evaluated.byMotion),
    `  deflections: ${deflectionText(evaluation)}`,
    ...gestureLines(evaluation),
    ...dialLines(evaluation),
    ...deviceLines(evaluated.device, evaluated.take.decisions),
  ];
  const events = listEvents(evaluation);
  for (const event of events.slice(0, EVENTS_SHOWN)) {
    const atS = (event.timeUs / 1e6).toFixed(3).padStart(9);
    lines.push(`  ${atS} s  ${event.kind.padEnd(10)} ${eventReason(event)}`);
  }
  if (events.length > EVENTS_SHOWN)
    lines.push(`  ... and ${events.length - EVENTS_SHOWN} more events (all with --json)`);
  for (const warning of warningsOf(evaluated)) lines.push(`  note: ${warning}`);
  return `${lines.join('\n')}\n`;
}

/** The verdict of the signal check; what failed, and what to do, where the figures below rest on signals that are not fit. */
function describeVerdict(check: SignalCheck): string[] {
  const { headline, failed } = failedLines(check);
  return describeCheck({ headline, lines: failed }).trimEnd().split('\n');
}

function failedLines(check: SignalCheck): { headline: string; failed: readonly WordedLine[] } {
  const { headline, lines } = wordedCheck(check);
  return { headline, failed: lines.filter(({ state }) => state === 'fail') };
}

function warningsOf({ take, evaluation, check, labelsLeftOut }: EvaluatedTake): string[] {
  const mount = assumesMount(check) ? [assumedMountText(1, 1, '--mount says which way it points.')] : [];
  const labels = labelsLeftOut === null ? [] : [labelsLeftOut];
  return [...take.report.warnings, ...evaluation.signals.warnings, ...mount, ...labels];
}

/** Only kinds that the labels hold: of others nothing can be said. */
function gestureLines({ gestureScores }: Evaluation): string[] {
  return GESTURE_DETECTOR_IDS.flatMap((id) => {
    const { hit, again, falseFires } = gestureScores[id];
    if (falseFires === null) return [];
    const scored = gestureDetector(id).scored.toLowerCase();
    return [`  ${scored}: ${fraction(hit)}, again ${again}, false ${falseFires}`];
  });
}

/** Nothing where the labels tell of neither twists nor spins. */
function dialLines({ dialScore: { steps, outside, spinning } }: Evaluation): string[] {
  if (outside === null && spinning === null) return [];
  const inSpins = spinning === null ? '' : `, ${spinning} in labelled spins`;
  const atNone = outside === null ? ', no twist labelled' : `, ${outside} at no labelled twist`;
  return [`  dial steps: ${steps}${atNone}${inSpins}`];
}

function summarise({ take, evaluation }: EvaluatedTake) {
  const { signals, truth } = evaluation;
  return {
    rateHz: signals.rateHz,
    samples: signals.timeUs.length,
    durationS: take.report.durationS,
    segments: signals.segments.length,
    presses: take.report.presses,
    swings: truth.swings.length,
    reversals: truth.reversals.length,
    peakSwingSpeedDps: largest(signals.swingSpeedDps),
    peakTrueSpeedDps: largest(signals.trueSpeedDps),
    peakThrustG: largest(signals.thrustG),
    lowestThrustG: -largest(signals.thrustG, -1),
    peakTwistRateDps: Math.max(largest(signals.twistRateDps), largest(signals.twistRateDps, -1)),
    peakImpactG: largest(signals.impactG),
    events: countEvents(evaluation),
  };
}

function deflectionText({ signals, candidate, deflectionScore: score }: Evaluation): string {
  if (score === null) return `not known: ${NO_DEFLECTION_BUTTON} (--deflection-button says which it is)`;
  const { once, missed, missedSwings, twice, outside, unwanted } = score;
  const why = missCountsText(missReasons(signals, missedSwings, candidate.deflection));
  const missedText = missed.k === 0 ? '0' : `${missed.k} (${why})`;
  const up = unwanted === 0 ? '' : `; ${counted(unwanted, 'swing')} not counted, with the button up`;
  return `once ${fraction(once)}, missed ${missedText}, twice ${twice.k}, outside ${outside}${up}`;
}

function countEvents({ deflections, fires, dialSteps, verdicts }: Evaluation) {
  return {
    presses: verdicts.length,
    accepted: verdicts.filter(({ accepted }) => accepted === true).length,
    deflections: deflections?.length ?? null,
    ...Object.fromEntries(GESTURE_DETECTOR_IDS.map((id) => [`${id}s`, fires[id].length])),
    dialSteps: dialSteps.reduce((sum, { steps }) => sum + Math.abs(steps), 0),
  };
}

function largest(values: Float64Array, sign: 1 | -1 = 1): number {
  let best = -Infinity;
  for (let i = 0; i < values.length; ++i) if (sign * values[i]! > best) best = sign * values[i]!;
  return best;
}

function fraction({ k, n, interval }: Proportion): string {
  if (n === 0 || interval === null) return 'none of this kind';
  return `${k} of ${n} (about 95 %: ${percentRange(interval, ' to ')})`;
}

function shown(value: number): string {
  return trueMinus(String(Number(value.toPrecision(4))));
}
