import type { Press } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import { areSpinsGiven, type GestureKind, intentOf, type Labels, settleGestures } from '../labels/labels.ts';
import type { Motion } from '../motion/motion.ts';
import { proposeGestures } from '../truth/gesturesProposed.ts';
import { unlabelledGestures } from '../truth/labelsProposed.ts';
import { proposeStill } from '../truth/spans.ts';
import type { Swing } from '../truth/swings.ts';
import type { Truth } from '../truth/truth.ts';

/** A wanted press tests a guard only within this time after a swing: the performer stops and wants the blade off. */
const AFTER_STOP_MS = 3000;
/** Slower than this the prop counts as handled, or carried. */
const CARRY_MAX_DPS = 90;

/** Amount of each drill in a take. Swings and spins count alike whether labelled or proposed. */
export interface TakeStock extends PressStock {
  readonly stillS: number;
  /** Moving slowly, outside swings, spins and labelled gestures. */
  readonly carryS: number;
  readonly spinningS: number;
  readonly reversals: number;
  /** Of those, the ones in spins that only the program proposes. */
  readonly reversalsProposed: number;
  /** Swings outside every spin. */
  readonly singleSwings: number;
  readonly thrusts: number;
  readonly hits: number;
  readonly twists: number;
  /** Gestures that the program proposes, with no label over them. */
  readonly proposed: Readonly<Record<GestureKind, number>>;
}

/** Presses by their meaning for a guard. */
export interface PressStock {
  readonly wantedAfterStop: number;
  /** Wanted, but long after any swing: no guard refuses it. */
  readonly wantedAtRest: number;
  readonly straysInSpin: number;
  readonly straysElsewhere: number;
  readonly unlabelledInSpin: number;
  readonly unlabelledElsewhere: number;
  /** Labelled presses that only the program labelled. */
  readonly pressesByProgram: number;
}

/**
 * @param motion  with its force, which shows rest too.
 * @param presses  of the button that the guard judges.
 */
export function takeStock(
  motion: Motion,
  truth: Truth,
  labels: Labels,
  presses: readonly Press[],
): TakeStock {
  const seconds = (spans: Parameters<typeof sampleRanges>[1]) =>
    sampleRanges(motion.timeUs, spans).reduce((sum, { start, end }) => sum + end - start, 0) / motion.rateHz;
  const still = labels.spans.filter((span) => span.kind === 'still' && span.by !== 'program');
  return {
    stillS: seconds(still.length > 0 ? still : proposeStill(motion)),
    carryS: carrySeconds(motion, truth, labels),
    spinningS: seconds(truth.spinning),
    reversals: truth.reversals.length,
    reversalsProposed: areSpinsGiven(labels) ? 0 : truth.reversals.length,
    singleSwings: truth.swings.filter((swing) => !isInSpin(truth, swing.peakUs)).length,
    thrusts: settleGestures(labels, 'thrust').length,
    hits: settleGestures(labels, 'hit').length,
    twists: settleGestures(labels, 'twist').length,
    proposed: proposedGestures(motion, labels),
    ...pressStock(truth, labels, presses),
  };
}

function proposedGestures(motion: Motion, labels: Labels): Record<GestureKind, number> {
  const counts = { thrust: 0, hit: 0, twist: 0 };
  for (const { kind } of unlabelledGestures(proposeGestures(motion), labels)) ++counts[kind];
  return counts;
}

/** @param presses  of the button that the guard judges. */
export function pressStock(
  truth: Pick<Truth, 'swings' | 'spinning'>,
  labels: Labels,
  presses: readonly Press[],
): PressStock {
  const stock = {
    wantedAfterStop: 0,
    wantedAtRest: 0,
    straysInSpin: 0,
    straysElsewhere: 0,
    unlabelledInSpin: 0,
    unlabelledElsewhere: 0,
    pressesByProgram: 0,
  };
  for (const press of presses) {
    const label = intentOf(labels, press);
    const place = isInSpin(truth, press.downUs) ? 'InSpin' : 'Elsewhere';
    if (label?.by === 'program' && label.intent !== 'unsure') ++stock.pressesByProgram;
    if (label === null || label.intent === 'unsure') ++stock[`unlabelled${place}`];
    else if (label.intent === 'stray') ++stock[`strays${place}`];
    else ++stock[followsSwing(truth.swings, press.downUs) ? 'wantedAfterStop' : 'wantedAtRest'];
  }
  return stock;
}

/** Whether none of the takes holds a press that is labelled wanted or stray; false without takes. */
export function isWithoutPresses(stocks: readonly PressStock[]): boolean {
  return (
    stocks.length > 0 &&
    stocks.every(
      (stock) =>
        stock.straysInSpin + stock.straysElsewhere + stock.wantedAfterStop + stock.wantedAtRest === 0,
    )
  );
}

function carrySeconds(motion: Motion, { swings, spinning }: Truth, labels: Labels): number {
  const taken = new Uint8Array(motion.timeUs.length);
  for (const { start, end } of sampleRanges(motion.timeUs, [
    ...swings,
    ...spinning,
    ...(labels.gestures ?? []),
  ]))
    taken.fill(1, start, end);
  const { stillMask, trueSpeedDps } = motion;
  let samples = 0;
  for (let i = 0; i < taken.length; ++i)
    if (taken[i] === 0 && stillMask[i] === 0 && trueSpeedDps[i]! < CARRY_MAX_DPS) ++samples;
  return samples / motion.rateHz;
}

function isInSpin({ spinning }: Pick<Truth, 'spinning'>, momentUs: number): boolean {
  return spinning.some(({ startUs, endUs }) => startUs <= momentUs && momentUs <= endUs);
}

function followsSwing(swings: readonly Swing[], momentUs: number): boolean {
  return swings.some(({ startUs, endUs }) => startUs <= momentUs && momentUs - endUs <= AFTER_STOP_MS * 1000);
}
