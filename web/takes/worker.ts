/** A thread of the desk: reads takes and computes of them what it is asked, with the engine's own code. */

import { deflectionPressesOf, powerPressesOf } from '../../server/engine/base/buttons.ts';
import { parseColumns } from '../../server/engine/base/packedColumns.ts';
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
import { type CandidateMotion, computeMotion, type Motion } from '../../server/engine/motion/motion.ts';
import { takeStock } from '../../server/engine/plan/takeStock.ts';
import { proposeGestures } from '../../server/engine/truth/gesturesProposed.ts';
import { proposeSwings } from '../../server/engine/truth/swings.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { fetchColumns } from '../api.ts';
import { atMostEvery } from '../atMostEvery.ts';
import { compareTake, judgeTake, needsForce } from '../compare/compareTake.ts';
import { tallyOf } from '../compare/tally.ts';
import { runChoiceJob } from '../sweep/choiceJobs.ts';
import type { Job, JobTake, JobValue, TakeInput } from '../sweep/jobs.ts';
import { runReversalsJob } from '../sweep/reversalsJob.ts';
import type { Surroundings } from '../sweep/runner.ts';
import { Found } from './found.ts';
import { browserStore } from './foundStore.ts';
import { TakeReader } from './reader.ts';
import { type Answer, type FromThread, type Request, Stopped, type ToThread } from './requests.ts';

/** The page is told no more often than this what a sweep has found: it is large to send. */
const REPORT_EVERY_MS = 200;
/** Shares of a check that are done once the take is read, and once its motion is computed. */
const READ_PART = 0.1;
const MOTION_PART = 0.25;
/** Ten minutes at 1 kHz: what a thread has allocated for such a take is a hundred megabytes and more. */
const MUCH_SAMPLES = 600_000;
const PASSING = { isPassing: true };

const reader = new TakeReader(async (id) => {
  const bytes = await fetchColumns(id);
  return (scratch) => parseColumns(bytes, scratch);
});

// The file's name holds a hash of what it was built from.
const found = new Found(browserStore(), self.location.pathname);

/** The request under way, and whether it was cancelled. */
const underWay = new Map<number, { isCancelled: boolean }>();
const sentFor = new Map<number, (document: TakeDocument | string) => void>();
let lastSentFor = 0;

self.onmessage = ({ data }: MessageEvent<ToThread>) => {
  switch (data.type) {
    case 'ask':
      return void answer(data.id, data.request);
    case 'soon':
      return reader.soon(data.takeId);
    case 'cancel': {
      const work = underWay.get(data.id);
      if (work) work.isCancelled = true;
      return;
    }
    case 'document':
      sentFor.get(data.sentFor)?.(data.document);
      sentFor.delete(data.sentFor);
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
    const buffers = request.kind === 'open' ? await buffersOf(request.takeId, value as Answer<'open'>) : [];
    send({ type: 'done', id, value, holdsMuch: reader.mostSamples >= MUCH_SAMPLES }, buffers);
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
    case 'open': {
      const log = await reader.log(request.takeId);
      const motion = computeMotion(log, request.calibration);
      const roll = request.tellsDecisions ? rollOnProp(log, request.calibration) : null;
      const gestures = proposeGestures(motion);
      return { motion: shownOf(motion), roll, gestures } satisfies Answer<'open'>;
    }
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
      const { uniform } = await reader.readRaw(request.takeId);
      return findCause({ ...request, uniform }, (part) => send({ type: 'part', id, part }));
    }
    case 'check': {
      const work = () => check(request, (part) => send({ type: 'part', id, part }));
      // Somebody who looks at it sees it being made; its graphs are large besides.
      return request.isShown ? work() : found.recall(request.basis, askedOf(request), work);
    }
    case 'tally':
      return found.recall(request.basis, askedOf(request), () => tally(request));
    case 'compare': {
      const { kind, basis, ...wants } = request;
      return found.recallCompare(basis, wants, (missing) => compare({ ...request, ...missing }));
    }
    case 'judge':
      return judge(request);
    case 'evidence': {
      const { candidate, asked, judgedAt } = request;
      return evidenceOn(candidate, asked, { judgedAt, program: PROGRAM_VERSION });
    }
    case 'stock':
      return stockOf(request);
    case 'sweep':
      return sweep(request, id, work);
  }
}

/** Columns that only checks look at are not sent to the page: of an hour at 1 kHz they take 115 MB. */
function shownOf(motion: Motion): CandidateMotion {
  const { gravityXG, gravityYG, gravityZG, rawThrustG, ...shown } = motion;
  return shown;
}

/** All that an answer rests on besides the columns: a take's name in the workspace makes no difference. */
function askedOf({ takeId, basis, ...asked }: Request<'check'> | Request<'tally'>): unknown {
  return asked;
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

function takeOf({ takeId, calibration }: Pick<Request<'speed'>, 'takeId' | 'calibration'>) {
  return { id: takeId, calibration };
}

async function speedSignals(request: Pick<Request<'speed'>, 'takeId' | 'calibration' | 'smoothing'>) {
  const take = takeOf(request);
  return reader.speedSignals(take, await reader.rateMotion(take, PASSING), request.smoothing);
}

/** Its clock is looked at as it was before the take was put on a grid. */
async function check(
  { takeId, calibration, facts, isShown }: Request<'check'>,
  tell: (part: number) => void,
): Promise<Answer<'check'>> {
  const { raw, saturated, uniform } = await reader.readRaw(takeId);
  tell(READ_PART);
  const motion = computeMotion(uniform, calibration);
  const input = { raw, saturated, uniform, motion, calibration, facts };
  tell(MOTION_PART);
  const result = checkSignals(input, (part) => tell(MOTION_PART + (1 - MOTION_PART) * part));
  return {
    result: isShown ? result : null,
    unfit: tuningFitness(result, motion),
    isMountAssumed: assumesMount(result),
  };
}

async function judge({ takeId, document, candidate }: Request<'judge'>): Promise<Answer<'judge'>> {
  const { raw, saturated, uniform } = await reader.readRaw(takeId);
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
  let last: JobValue | null = null;
  const tell = atMostEvery(REPORT_EVERY_MS, (value: JobValue) => send({ type: 'value', id, value }));
  await run(job, {
    reader,
    firstId,
    input: inputOf,
    report: (value) => {
      if (value.stage === 'done') last = value;
      else tell(value);
    },
    isCancelled: () => work.isCancelled,
    letMessagesIn: () => new Promise((resolve) => setTimeout(resolve, 0)),
  });
  return last!;
}

/** All that a job needs of a take but its columns; the document comes from the page. */
async function inputOf({ id, title, performer, revision, labels, unfit }: JobTake): Promise<TakeInput> {
  const document = await new Promise<TakeDocument | string>((resolve) => {
    sentFor.set(++lastSentFor, resolve);
    send({ type: 'send for', sentFor: lastSentFor, takeId: id, revision });
  });
  if (typeof document === 'string') throw new Error(document);
  return {
    id,
    title,
    performer,
    calibration: document.calibration,
    presses: powerPressesOf(document),
    allPresses: document.presses,
    deflectionPresses: deflectionPressesOf(document),
    labels: labels ?? document.labels,
    unfit,
  };
}

function run(job: Job, around: Surroundings): Promise<void> {
  return job.kind === 'reversals' ? runReversalsJob(job, around) : runChoiceJob(job, around);
}

/** Buffers to hand over instead of copying: only those that the kept log does not share. */
async function buffersOf(takeId: string, { motion, roll }: Answer<'open'>): Promise<ArrayBuffer[]> {
  const shared = new Set(arraysOf(await reader.log(takeId)));
  return [...new Set([...arraysOf(motion), ...arraysOf(roll ?? {})])].filter((buffer) => !shared.has(buffer));
}

function arraysOf(columns: object): ArrayBuffer[] {
  return Object.values(columns).flatMap((value) =>
    ArrayBuffer.isView(value) ? [value.buffer as ArrayBuffer] : [],
  );
}
