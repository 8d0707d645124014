import { columnsText } from '../../server/engine/base/columnsText.ts';
import type { MotionLog, Press, Segment } from '../../server/engine/base/log.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import type { SignalCheck } from '../../server/engine/check/checkSignals.ts';
import type { ReadFacts } from '../../server/engine/check/input.ts';
import type { SmoothingCost } from '../../server/engine/check/smoothingCost.ts';
import type { Unfit } from '../../server/engine/choose/unfit.ts';
import type { GestureDetectorId } from '../../server/engine/detect/detectors.ts';
import type { DialSteps } from '../../server/engine/detect/twistDial.ts';
import type { CauseInput, CauseSearch } from '../../server/engine/device/findCause.ts';
import type { RollOnProp } from '../../server/engine/device/propTwist.ts';
import type { SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import type { AskedTake } from '../../server/engine/kept/judgeSetting.ts';
import type { SettingEvidence } from '../../server/engine/kept/keptSetting.ts';
import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { GestureLabel, Labels } from '../../server/engine/labels/labels.ts';
import type { BladePath } from '../../server/engine/motion/bladePath.ts';
import type { CandidateMotion } from '../../server/engine/motion/motion.ts';
import type { SignalColumns } from '../../server/engine/motion/signals.ts';
import type { TakeStock } from '../../server/engine/plan/takeStock.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { Truth } from '../../server/engine/truth/truth.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import type { CompareReply, CompareWants } from '../compare/compareTake.ts';
import type { Tally } from '../compare/tally.ts';
import type { Job, JobTake, JobValue, TakeInput } from '../sweep/jobs.ts';
import type { AnsweredPiece, Piece } from '../sweep/piece.ts';
import type { ShownMotion, ThinLog } from './longMotion.ts';
import type { FoldingStave } from './quietSignals.ts';

/** A take, as far as its motion rests on the document. */
export interface Calibrated {
  readonly takeId: string;
  /** See `columnsText`. */
  readonly columns: string;
  readonly calibration: Calibration;
}

/** Answered from what was found before, where that is. */
interface Remembered {
  /** Of the take's document, with the labels that go with it. */
  readonly content: TakeContent;
}

/** The questions that a take can be asked, each with its answer. */
export interface Asked {
  /** All that the page needs of the take that it shows. */
  open: [Calibrated & OpenWants, Opened];
  /** Where the blade pointed, to be looked at. */
  blade: [Calibrated, BladePath];
  /** The cost of each smoothing. */
  bench: [Calibrated & { readonly smoothings: readonly SmoothingSettings[] }, readonly SmoothingCost[]];
  /** The swing speed alone, to be drawn. */
  speed: [Calibrated & { readonly smoothing: SmoothingSettings }, SpeedTrace];
  /** Why a prop's own decisions are not those of a candidate. */
  cause: [Calibrated & Omit<CauseInput, 'uniform'>, CauseSearch];
  /** Is it fit to tune on? The whole result only where somebody looks at it. */
  check: [Calibrated & CheckWants, CheckedTake];
  tally: [Calibrated & Remembered & TallyWants, Tally];
  compare: [Calibrated & CompareWants, CompareReply];
  /** What one take says of a setting, by the document's labels, and what is told of the take. */
  judge: [JudgeWants, AskedTake];
  /** What of each drill a recording that goes on holds so far, nothing of it labelled. */
  stock: [{ readonly log: MotionLog; readonly calibration: Calibration }, TakeStock];
  /** All that was said of it, as one. */
  evidence: [EvidenceWants, SettingEvidence];
  /** What a sweep needs of one take. */
  piece: [Calibrated & Remembered & { readonly input: TakeInput; readonly piece: Piece }, AnsweredPiece];
  /** A job over several takes; the answer comes in parts, the last of them once more as the answer. */
  sweep: [{ readonly job: Job; readonly firstId: string | null }, JobValue];
}

/** What a question on a take's motion begins with. */
export function calibratedOf(document: TakeDocument): Calibrated {
  const { id, calibration } = document;
  return { takeId: id, columns: columnsText(document), calibration };
}

export type Kind = keyof Asked;
export type Request<K extends Kind = Kind> = { [Key in K]: { readonly kind: Key } & Asked[Key][0] }[K];
export type Answer<K extends Kind> = Asked[K][1];

export interface OpenWants {
  readonly tellsDecisions: boolean;
  /** Whose signals and gestures are wanted with a long take. */
  readonly candidate: Candidate;
  /** Of every button. */
  readonly presses: readonly Press[];
  /** That the truth of a long take goes by, and which of its staves are open. */
  readonly labels: TruthLabels & Pick<Labels, 'gestures'>;
}

export type TruthLabels = Pick<Labels, 'spans' | 'swings'>;

/** What a thread has computed of a long take for one candidate. */
export interface Ready {
  readonly of: Candidate;
  /** That its twist may start at. */
  readonly presses: readonly Press[];
  /** Twist and impact are missing where the page folds their staves. */
  readonly columns: SignalColumns;
  /** Where its detectors of gestures fire. */
  readonly fires: Readonly<Record<GestureDetectorId, Int32Array>>;
  readonly dial: readonly DialSteps[];
  /** How far the signals go that are folded where they say nothing. */
  readonly most: Readonly<Record<FoldingStave, number>>;
  readonly labels: TruthLabels;
  /** By these labels. */
  readonly truth: Truth;
}

/** All of a motion; or, of a long take, what of it is looked at all the time, and what the rest is computed from again. */
export type OpenedMotion =
  | { readonly motion: CandidateMotion; readonly thin: null }
  | { readonly motion: ShownMotion; readonly thin: ThinLog };

export type Opened = OpenedMotion & OpenedRest;

interface OpenedRest {
  /** Of a long take. */
  readonly ready: Ready | null;
  /** What the twist and the dial of a prop go by; null for a take that does not tell what its prop decided. */
  readonly roll: RollOnProp | null;
  /** As the program proposes them, whatever the labels. */
  readonly gestures: readonly GestureLabel[];
}

export interface SpeedTrace {
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
  readonly swingSpeedDps: Float64Array;
}

export interface CheckWants {
  readonly facts: ReadFacts;
  /** Null where somebody looks at all of what is found: they see it being made, and its graphs are too large to be remembered. */
  readonly content: TakeContent | null;
}

export interface CheckedTake {
  readonly result: SignalCheck | null;
  /** The reason against choosing on it; null where there is none. */
  readonly unfit: Unfit | null;
  /** See `assumesMount`. */
  readonly isMountAssumed: boolean;
}

export interface TallyWants {
  readonly presses: readonly Press[];
  readonly labels: Labels;
  readonly candidate: Candidate;
}

export interface JudgeWants {
  readonly takeId: string;
  readonly document: TakeDocument;
  readonly candidate: Candidate;
}

export interface EvidenceWants {
  readonly candidate: Candidate;
  readonly asked: readonly AskedTake[];
  /** ISO 8601. */
  readonly judgedAt: string;
}

export const STOPPED = 'stopped';

/** Work that was asked for, and whose answer nobody wants any longer. */
export class Stopped extends Error {
  constructor() {
    super(STOPPED);
  }
}

/** Messages from the page to a thread. */
export type ToThread =
  | {
      readonly type: 'ask';
      readonly id: number;
      readonly request: Request;
      /** Of the take that is asked about, where the page holds them in memory that threads share. */
      readonly columns: SharedArrayBuffer | null;
    }
  /** A take that will be asked of next. */
  | { readonly type: 'soon'; readonly takeId: string }
  | { readonly type: 'cancel'; readonly id: number }
  /** A piece of a sweep that the thread wanted found, or why it could not be. */
  | { readonly type: 'found'; readonly place: number; readonly found: AnsweredPiece | string };

/** Messages from a thread: news of each request, and at its end one of the last three. */
export type FromThread =
  | { readonly type: 'part'; readonly id: number; readonly part: number }
  | { readonly type: 'value'; readonly id: number; readonly value: unknown }
  | {
      readonly type: 'find';
      readonly id: number;
      /** Names the answer. */
      readonly place: number;
      readonly take: JobTake;
      readonly piece: Piece;
    }
  /** `holdsMuch` once it has read a take so long that its memory is worth giving back. */
  | { readonly type: 'done'; readonly id: number; readonly value: unknown; readonly holdsMuch?: boolean }
  | { readonly type: 'failed'; readonly id: number; readonly message: string }
  | { readonly type: 'stopped'; readonly id: number };
