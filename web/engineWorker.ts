/** The page's second thread: fetches a take's columns and computes its motion with the engine's own code. */

import type { Press, UniformLog } from '../server/engine/base/log.ts';
import { Scratch } from '../server/engine/base/scratch.ts';
import { buildTimeBase } from '../server/engine/base/timeBase.ts';
import type { Calibration } from '../server/engine/calibrate/calibration.ts';
import { checkSignals, type SignalCheck } from '../server/engine/check/checkSignals.ts';
import type { ReadFacts } from '../server/engine/check/input.ts';
import { type SmoothingCost, smoothingCost } from '../server/engine/check/smoothingCost.ts';
import { pressOutcomes } from '../server/engine/compare/takeScores.ts';
import type { SmoothingSettings } from '../server/engine/filter/smoothing.ts';
import type { GestureLabel, Labels } from '../server/engine/labels/labels.ts';
import { computeMotion, type Motion } from '../server/engine/motion/motion.ts';
import type { Candidate } from '../server/engine/settings/candidate.ts';
import { proposeGestures } from '../server/engine/truth/gesturesProposed.ts';
import { proposeSwings } from '../server/engine/truth/swings.ts';
import { tuningFitness } from '../server/engine/words/check/tuningFitness.ts';
import { fetchColumns } from './api.ts';
import {
  type CompareRequest,
  compareTake,
  judgeTake,
  type SpeedRequest,
  type SpeedTrace,
  speedTrace,
} from './compare/compareTake.ts';
import { type Tally, tallyOf } from './compare/tally.ts';
import { parseColumns } from './state/columnsFile.ts';

export interface OpenRequest {
  readonly kind: 'open';
  readonly takeId: string;
  readonly calibration: Calibration;
}

/** What the page needs of the take that it shows. */
export interface Opened {
  readonly motion: Motion;
  /** As the program proposes them, whatever the labels. */
  readonly gestures: readonly GestureLabel[];
}

export interface TallyRequest {
  readonly kind: 'tally';
  readonly takeId: string;
  readonly calibration: Calibration;
  readonly presses: readonly Press[];
  readonly labels: Labels;
  readonly candidate: Candidate;
}

export interface CheckRequest {
  readonly kind: 'check';
  readonly takeId: string;
  readonly calibration: Calibration;
  readonly facts: ReadFacts;
}

/** The same check, of which only the judgement comes back. */
export interface FitnessRequest extends Omit<CheckRequest, 'kind'> {
  readonly kind: 'fitness';
}

export interface CheckedTake {
  readonly result: SignalCheck;
  /** What speaks against choosing on it; null where nothing does. */
  readonly unfit: string | null;
}

export interface BenchRequest {
  readonly kind: 'bench';
  readonly takeId: string;
  readonly calibration: Calibration;
  readonly smoothings: readonly SmoothingSettings[];
}

export type AnyRequest =
  | OpenRequest
  | TallyRequest
  | CheckRequest
  | FitnessRequest
  | BenchRequest
  | CompareRequest
  | SpeedRequest;

export type WorkerRequest = AnyRequest & {
  readonly id: number;
};
/** How far a request is, 0 to 1, before its reply. */
export interface WorkerProgress {
  readonly id: number;
  readonly part: number;
}

export type WorkerReply =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly message: string };

/** What part of a check is done once the take is read, and once its motion is computed. */
const READ_PART = 0.1;
const MOTION_PART = 0.25;

/** Takes read last stay read, so that a changed lever arm or threshold costs no second download. */
const KEPT_SAMPLES = 4_000_000;
const read = new Map<string, UniformLog>();

self.onmessage = async (event: MessageEvent<WorkerRequest>) => {
  const { id } = event.data;
  try {
    const value = await answer(event.data);
    const reply: WorkerReply = { id, ok: true, value };
    self.postMessage(reply, { transfer: buffersToHandOver(event.data, value) });
  } catch (error) {
    const reply: WorkerReply = {
      id,
      ok: false,
      message: error instanceof Error ? error.message : String(error),
    };
    self.postMessage(reply);
  }
};

async function answer(request: WorkerRequest): Promise<unknown> {
  switch (request.kind) {
    case 'open':
      return open(request);
    case 'tally':
      return tally(request);
    case 'check':
      return check(request, (part) => self.postMessage({ id: request.id, part } satisfies WorkerProgress));
    case 'fitness':
      return (await check({ ...request, kind: 'check' }, () => {})).unfit;
    case 'bench':
      return bench(request);
    case 'compare':
      return once(request.takeId, (log) => compareTake(log, request));
    case 'speed':
      return once(request.takeId, (log) => speedTrace(log, request));
  }
}

async function open(request: OpenRequest): Promise<Opened> {
  const motion = computeMotion(await uniformLog(request.takeId), request.calibration);
  return { motion, gestures: proposeGestures(motion) };
}

async function tally({ takeId, calibration, presses, labels, candidate }: TallyRequest): Promise<Tally> {
  return once(takeId, (log) =>
    tallyOf(pressOutcomes(judgeTake(log, calibration, candidate, presses), labels)),
  );
}

/** Reads the take anew: its clock is looked at as it was before it was put on a grid, and that is not kept. */
async function check(
  { takeId, calibration, facts }: CheckRequest,
  tell: (part: number) => void,
): Promise<CheckedTake> {
  const { raw, saturated, uniform } = await readLog(takeId);
  tell(READ_PART);
  const motion = computeMotion(uniform, calibration);
  const input = { raw, saturated, uniform, motion, calibration, facts };
  tell(MOTION_PART);
  const result = checkSignals(input, (part) => tell(MOTION_PART + (1 - MOTION_PART) * part));
  return { result, unfit: tuningFitness(result, motion) };
}

async function bench({ takeId, calibration, smoothings }: BenchRequest): Promise<SmoothingCost[]> {
  const motion = computeMotion(await uniformLog(takeId), calibration);
  const swings = proposeSwings(motion);
  return smoothings.map((smoothing) => smoothingCost(motion, smoothing, swings));
}

/** Of a log that is not kept: used again for the next one. */
const scratch = new Scratch();

/**
 * What `use` makes of a take's log, which is not kept: work over all takes must not push out the one that is open.
 * @param use  gives nothing that lies in the log: the next one overwrites it.
 */
async function once<T>(takeId: string, use: (log: UniformLog) => T): Promise<T> {
  const kept = read.get(takeId);
  if (kept) return use(kept);
  const bytes = await fetchColumns(takeId);
  // From here on without a pause, in which another take could be unpacked.
  const { log, saturated } = parseColumns(bytes, scratch);
  return use(buildTimeBase(log, saturated, scratch).uniform);
}

async function uniformLog(takeId: string): Promise<UniformLog> {
  const kept = read.get(takeId);
  if (kept) {
    read.delete(takeId);
    read.set(takeId, kept);
    return kept;
  }
  const { uniform } = await readLog(takeId);
  read.set(takeId, uniform);
  forgetOldest();
  return uniform;
}

async function readLog(takeId: string) {
  const { log, saturated } = parseColumns(await fetchColumns(takeId));
  return { raw: log, saturated, uniform: buildTimeBase(log, saturated).uniform };
}

function forgetOldest(): void {
  let samples = 0;
  for (const log of read.values()) samples += log.timeUs.length;
  for (const [id, log] of read) {
    if (samples <= KEPT_SAMPLES || read.size === 1) return;
    read.delete(id);
    samples -= log.timeUs.length;
  }
}

function buffersToHandOver(request: WorkerRequest, value: unknown): ArrayBuffer[] {
  if (request.kind === 'open') return buffersOf((value as Opened).motion);
  if (request.kind !== 'speed') return [];
  const { timeUs, swingSpeedDps } = value as SpeedTrace;
  return [timeUs.buffer as ArrayBuffer, swingSpeedDps.buffer as ArrayBuffer];
}

/** Buffers to hand over instead of copying: only those that the kept log does not share. */
function buffersOf(motion: Motion): ArrayBuffer[] {
  const shared = new Set<ArrayBufferLike>();
  for (const log of read.values())
    for (const value of Object.values(log)) if (ArrayBuffer.isView(value)) shared.add(value.buffer);
  const own = new Set<ArrayBuffer>();
  for (const value of Object.values(motion)) {
    if (ArrayBuffer.isView(value) && !shared.has(value.buffer)) own.add(value.buffer as ArrayBuffer);
  }
  return [...own];
}
