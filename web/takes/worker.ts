/** A thread of the desk: reads takes and computes of them what it is asked, with the engine's own code. */

import { powerPressesOf } from '../../server/engine/base/buttons.ts';
import { readPacked, unpackLog } from '../../server/engine/base/packedColumns.ts';
import { Scratch } from '../../server/engine/base/scratch.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { PROGRAM_VERSION } from '../../server/engine/base/version.ts';
import { assumesMount, checkSignals } from '../../server/engine/check/checkSignals.ts';
import { smoothingCost } from '../../server/engine/check/smoothingCost.ts';
import { tuningFitness } from '../../server/engine/choose/tuningFitness.ts';
import { pressOutcomes } from '../../server/engine/compare/takeScores.ts';
import { findCause } from '../../server/engine/device/findCause.ts';
import { rollOnProp } from '../../server/engine/device/propTwist.ts';
import { judgeOn } from '../../server/engine/kept/judgeOn.ts';
import { evidenceOn } from '../../server/engine/kept/judgeSetting.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { computeBladePath } from '../../server/engine/motion/bladePath.ts';
import {
  biasOf,
  computeCandidateMotion,
  computeMotion,
  computeSensedMotion,
} from '../../server/engine/motion/motion.ts';
import { takeStock } from '../../server/engine/plan/takeStock.ts';
import { proposeGestures } from '../../server/engine/truth/gesturesProposed.ts';
import { proposeSwings } from '../../server/engine/truth/swings.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { fetchColumns } from '../api.ts';
import { atMostEvery } from '../atMostEvery.ts';
import { compareTake, judgeTake, needsForce } from '../compare/compareTake.ts';
import { tallyOf } from '../compare/tally.ts';
import { runChoiceJob } from '../sweep/choiceJobs.ts';
import { JobMemory, namedPiece } from '../sweep/jobMemory.ts';
import type { Job, JobValue } from '../sweep/jobs.ts';
import { foundPiece, workOn } from '../sweep/pieces.ts';
import { runReversalsJob } from '../sweep/reversalsJob.ts';
import { letMessagesIn, type Surroundings } from '../sweep/runner.ts';
import { buffersIn } from './buffers.ts';
import { sha256 } from './content.ts';
import { Elsewhere } from './elsewhere.ts';
import { shownOf } from './longMotion.ts';
import { namedCheck, namedTally } from './named.ts';
import { recallPacked } from './packed.ts';
import { LONG_SAMPLES, TakeReader } from './reader.ts';
import { readyFor } from './readyFor.ts';
import { found } from './remembered.ts';
import {
  type Answer,
  type Calibrated,
  calibratedOf,
  type FromThread,
  type Request,
  Stopped,
  type ToThread,
} from './requests.ts';
import { threadsFor } from './threads.ts';

/** The page is told no more often than this what a sweep has found: it is large to send. */
const REPORT_EVERY_MS = 200;
/** Shares of a check that are done once the take is read, and once its motion is computed. */
const READ_PART = 0.1;
const MOTION_PART = 0.25;
const PASSING = { isPassing: true };

/** Columns of the take that was asked about last, if the page handed them over. */
let shared: { readonly takeId: string; readonly bytes: SharedArrayBuffer } | null = null;

const reader = new TakeReader(async (id) => {
  const bytes = shared?.takeId === id ? shared.bytes : await fetchColumns(id);
  const packed = readPacked(bytes);
  return {
    isOf: async (columns) => packed.key === (await sha256(columns)),
    unpack: (scratch) => ({ ...unpackLog(packed, scratch), bytes }),
  };
});

/** The request under way, and whether it was cancelled. */
const underWay = new Map<number, { isCancelled: boolean }>();
/** Pieces that other threads are to find. */
const elsewhere = new Elsewhere(send);
/** So many pieces are asked for at once that no thread waits for the next, and few are left when the sweep is stopped. */
const PIECES_AT_ONCE = 2 * threadsFor(navigator.hardwareConcurrency) + 1;

self.onmessage = ({ data }: MessageEvent<ToThread>) => {
  switch (data.type) {
    case 'ask': {
      const { id, request, columns } = data;
      shared = columns && 'takeId' in request ? { takeId: request.takeId, bytes: columns } : null;
      return void answer(id, request);
    }
    case 'soon':
      return reader.soon(data.takeId);
    case 'cancel': {
      const work = underWay.get(data.id);
      if (work) work.isCancelled = true;
      return;
    }
    case 'found':
      elsewhere.hear(data.place, data.found);
  }
};

function send(news: FromThread, transfer: ArrayBuffer[] = []): void {
  self.postMessage(news, { transfer });
}

async function answer(id: number, request: Request): Promise<void> {
  const work = { isCancelled: false };
  underWay.set(id, work);
  try {
    const value = await answerTo(request, id, work);
    const buffers = request.kind === 'open' ? buffersOf(request, value as Answer<'open'>) : [];
    send({ type: 'done', id, value, holdsMuch: reader.mostSamples >= LONG_SAMPLES }, buffers);
  } catch (error) {
    if (error instanceof Stopped) send({ type: 'stopped', id });
    else send({ type: 'failed', id, message: error instanceof Error ? error.message : String(error) });
  } finally {
    underWay.delete(id);
  }
}

async function answerTo(
  request: Request,
  id: number,
  work: { readonly isCancelled: boolean },
): Promise<unknown> {
  switch (request.kind) {
    case 'open':
      return open(request);
    case 'blade': {
      const motion = await reader.wholeMotion(takeOf(request));
      return computeBladePath(motion, request.calibration.leverArmM) satisfies Answer<'blade'>;
    }
    case 'bench': {
      const motion = await reader.wholeMotion(takeOf(request));
      const swings = proposeSwings(motion);
      return request.smoothings.map((smoothing) => smoothingCost(motion, smoothing, swings));
    }
    case 'speed': {
      const { timeUs, segments, swingSpeedDps } = await speedSignals(request);
      return { timeUs, segments, swingSpeedDps } satisfies Answer<'speed'>;
    }
    case 'cause': {
      const { uniform } = await reader.readRaw(takeOf(request));
      return findCause({ ...request, uniform }, (part) => send({ type: 'part', id, part }));
    }
    case 'check': {
      const work = () => check(request, (part) => send({ type: 'part', id, part }));
      return request.content ? found.recall(namedCheck(request.content), work) : work();
    }
    case 'tally':
      return found.recall(namedTally(request.content, request.candidate), () => tally(request));
    case 'compare':
      return found.recallCompare(request, compare);
    case 'judge':
      return judge(request);
    case 'evidence': {
      const { candidate, asked, judgedAt } = request;
      return evidenceOn(candidate, asked, { judgedAt, program: PROGRAM_VERSION });
    }
    case 'stock':
      return stockOf(request);
    case 'piece':
      return piece(request);
    case 'sweep':
      return sweep(request, id, work);
  }
}

async function open(request: Request<'open'>): Promise<Answer<'open'>> {
  const { calibration, tellsDecisions } = request;
  const { uniform, bytes, isOnGrid } = await reader.log(takeOf(request));
  const bias = biasOf(uniform, calibration);
  const motion = computeCandidateMotion(uniform, { ...calibration, bias });
  const gestures = proposeGestures(motion);
  const roll = tellsDecisions ? rollOnProp(uniform, calibration) : null;
  const isLong = uniform.timeUs.length >= LONG_SAMPLES;
  // What a prop decided is held against all columns at once.
  if (!isLong || !bytes || tellsDecisions)
    return {
      motion: { ...motion, saturated: motion.saturated.slice() },
      thin: null,
      ready: null,
      roll,
      gestures,
    };
  const ready = readyFor(motion, request);
  return { motion: shownOf(motion), thin: { bytes, isOnGrid, bias }, ready, roll, gestures };
}

async function tally(request: Request<'tally'>): Promise<Answer<'tally'>> {
  const { candidate, presses, labels } = request;
  const signals = await speedSignals({ ...request, smoothing: candidate.smoothing });
  return tallyOf(pressOutcomes(judgeTake(signals, candidate, presses), labels));
}

async function compare(request: Request<'compare'>): Promise<Answer<'compare'>> {
  const take = takeOf(request);
  const whole = needsForce(request) ? await reader.wholeMotion(take, PASSING) : null;
  const motion = whole ?? (await reader.rateMotion(take, PASSING));
  const { deflectionPresses } = request;
  const speedOf = (smoothing: Parameters<TakeReader['speedSignals']>[2]) => ({
    ...reader.speedSignals(take, motion, smoothing),
    deflectionPresses,
  });
  return compareTake({ motion, whole, speedOf }, request);
}

function stockOf({ log, calibration }: Request<'stock'>): Answer<'stock'> {
  const motion = computeMotion(buildTimeBase(log).uniform, calibration);
  return takeStock(motion, findTruth(motion, EMPTY_LABELS), EMPTY_LABELS, []);
}

function takeOf({ takeId, columns, calibration }: Calibrated) {
  return { id: takeId, columns, calibration };
}

async function speedSignals(request: Calibrated & Pick<Request<'speed'>, 'smoothing'>) {
  const take = takeOf(request);
  return reader.speedSignals(take, await reader.rateMotion(take, PASSING), request.smoothing);
}

/** Its clock is looked at as it was before the take was put on a grid. */
async function check(request: Request<'check'>, tell: (part: number) => void): Promise<Answer<'check'>> {
  const { calibration, facts, content } = request;
  const { raw, saturated, uniform } = await reader.readRaw(takeOf(request));
  tell(READ_PART);
  const scratch = new Scratch();
  const motion = computeSensedMotion(uniform, calibration, scratch);
  const input = { raw, saturated, uniform, motion, calibration, facts };
  tell(MOTION_PART);
  const result = checkSignals(input, (part) => tell(MOTION_PART + (1 - MOTION_PART) * part), scratch);
  return {
    result: content === null ? result : null,
    unfit: tuningFitness(result, motion),
    isMountAssumed: assumesMount(result),
  };
}

async function judge({ document, candidate }: Request<'judge'>): Promise<Answer<'judge'>> {
  const { raw, saturated, uniform } = await reader.readRaw(takeOf(calibratedOf(document)));
  const { calibration, labels, presses, report } = document;
  const motion = computeMotion(uniform, calibration);
  const check = checkSignals({ raw, saturated, uniform, motion, calibration, facts: report });
  const powerPresses = powerPressesOf(document);
  return judgeOn({ facts: document, motion, check, labels, presses, powerPresses, calibration }, candidate);
}

async function sweep(
  { job, firstId }: Request<'sweep'>,
  id: number,
  work: { readonly isCancelled: boolean },
): Promise<JobValue> {
  const memory = new JobMemory(found, job);
  const whole = await memory.whole();
  if (whole) return whole;
  let last: (() => JobValue) | null = null;
  // What is told last is the answer.
  const tell = atMostEvery(REPORT_EVERY_MS, (soFar: () => JobValue) => {
    if (soFar === last) send({ type: 'value', id, value: soFar() });
  });
  await run(job, {
    firstId,
    width: PIECES_AT_ONCE,
    find: async (take, piece) => (await memory.piece(take, piece)) ?? elsewhere.find(id, take, piece),
    tookIn: (take, piece) => memory.tookIn(take, piece),
    report: (soFar) => {
      last = soFar;
      tell(soFar);
    },
    isCancelled: () => work.isCancelled,
    letMessagesIn,
  });
  const answer = last!();
  last = null;
  // What cannot be kept is put together again another time.
  memory.keepWhole(answer).catch(() => {});
  return answer;
}

async function piece({ content, input, piece }: Request<'piece'>): Promise<Answer<'piece'>> {
  const find = workOn(piece, input);
  const work = async () => foundPiece(input, await find(reader));
  return { found: await recallPacked(found, namedPiece(content, piece, input), work), content };
}

function run(job: Job, around: Surroundings): Promise<void> {
  return job.kind === 'reversals' ? runReversalsJob(job, around) : runChoiceJob(job, around);
}

/** Buffers to hand over instead of copying: only those that the kept log does not share. */
function buffersOf(request: Request<'open'>, opened: Answer<'open'>): ArrayBuffer[] {
  const kept = reader.keptLog(takeOf(request));
  const shared = new Set(kept ? buffersIn(kept) : []);
  return [...new Set(buffersIn(opened))].filter((buffer) => !shared.has(buffer));
}
