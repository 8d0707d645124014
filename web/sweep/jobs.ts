import type { Press } from '../../server/engine/base/log.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import type { Border } from '../../server/engine/choose/borders.ts';
import type { TakeChecks } from '../../server/engine/choose/checkTake.ts';
import type { SwingEvidence } from '../../server/engine/choose/deflectionProblem.ts';
import type { TakeEvidence } from '../../server/engine/choose/evidence.ts';
import type { GestureEvidence } from '../../server/engine/choose/gestures/evidence.ts';
import type { GestureBase, GestureMapKind } from '../../server/engine/choose/gestures/maps.ts';
import type { MissCause } from '../../server/engine/choose/gestures/missCauses.ts';
import type { GestureGrid } from '../../server/engine/choose/gestures/take.ts';
import type { HeldOut } from '../../server/engine/choose/leaveOut.ts';
import type { Agreement } from '../../server/engine/choose/motion/agreement.ts';
import type { MotionBase, MotionEvidence } from '../../server/engine/choose/motion/motionProblem.ts';
import type { Choice } from '../../server/engine/choose/suggest.ts';
import type { GuardGrid, GuardPart } from '../../server/engine/choose/takeSweep.ts';
import type { Unfit } from '../../server/engine/choose/unfit.ts';
import type { DeflectionSettings } from '../../server/engine/detect/deflection.ts';
import type { GuardSettings } from '../../server/engine/detect/guard.ts';
import type { PressVerdict } from '../../server/engine/detect/presses.ts';
import type { SlipExplanation } from '../../server/engine/explain/causes.ts';
import type { DipPicture } from '../../server/engine/explain/dip.ts';
import type { MissReason } from '../../server/engine/explain/missedSwings.ts';
import type { HoldCurve, ReversalRow } from '../../server/engine/explain/reversalRows.ts';
import type { SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { DeflectionGrid, DeflectionPart } from '../../server/engine/sweep/deflectionSweep.ts';
import type { GesturePart } from '../../server/engine/sweep/gestureSweep.ts';
import type { GuardSweep } from '../../server/engine/sweep/guardSweep.ts';

/** A take as the page names it; document and columns are read by whoever does the job. */
export interface JobTake {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  /** An older document will not do. */
  readonly revision: number;
  /** Of its document, as the list tells of this revision; null where it tells of another. */
  readonly content: TakeContent | null;
  /** Instead of the document's; null for those. */
  readonly labels: Labels | null;
  /** Why its signals leave it out; null where they do not. */
  readonly unfit: Unfit | null;
}

/**
 * A take whose document is read. `presses` are the power button's, `allPresses` those of every button, `deflectionPresses`
 * those of the one that deflections may wait for; null where there is none.
 */
export interface TakeInput {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  /** See `columnsText`. */
  readonly columns: string;
  readonly calibration: Calibration;
  readonly presses: readonly Press[];
  readonly allPresses: readonly Press[];
  readonly deflectionPresses: readonly Press[] | null;
  readonly labels: Labels;
  readonly unfit: Unfit | null;
}

/** Two settings are to be chosen; all others in `base` hold for the whole map. */
export interface ChoiceJob<Base> {
  readonly takes: readonly JobTake[];
  readonly smoothing: SmoothingSettings;
  readonly base: Base;
}

export type GuardJob = ChoiceJob<GuardSettings> & { readonly kind: 'guard' };
/** The guard's map by motion alone: spins stand for stray presses, stops for wanted ones. */
export type MotionJob = ChoiceJob<MotionBase> & { readonly kind: 'motion' };
export type DeflectionJob = ChoiceJob<DeflectionSettings> & { readonly kind: 'deflection' };
export type GestureJob = ChoiceJob<GestureBase> & { readonly kind: GestureMapKind };

export interface ReversalsJob {
  readonly kind: 'reversals';
  readonly takes: readonly JobTake[];
  readonly smoothing: SmoothingSettings;
  readonly guard: GuardSettings;
}

/** A job as it is told to whoever finds its pieces: all but its takes. */
export type SettingsOf<J> = J extends unknown ? Omit<J, 'takes'> : never;
export type ToChoose = SettingsOf<GuardJob | MotionJob | DeflectionJob | GestureJob>;

export type Job = GuardJob | MotionJob | DeflectionJob | GestureJob | ReversalsJob;

/** How far a job is. What it has found so far is complete for the takes done. */
export interface Progress {
  readonly stage: 'sweeping' | 'checking' | 'done';
  readonly done: number;
  readonly total: number;
  /** Takes that could not be read, and why. */
  readonly failed: readonly { readonly title: string; readonly message: string }[];
  /** Takes whose labels contradict one another, and how. */
  readonly doubtful: readonly { readonly title: string; readonly doubts: readonly string[] }[];
}

/** What a job of two settings has found. */
export interface ChoiceValue<Part extends string, Grid, Own, Why> extends Progress {
  /** The sum over the takes that count; null before the first. */
  readonly grid: Grid | null;
  readonly evidence: readonly Own[];
  /** The guard's by presses only. */
  readonly tradeOff: TradeOff | null;
  /** Once all takes are swept. */
  readonly result: ChoiceResult<Part, Why> | null;
}

/** The map with a release ratio of 1, with presses that act at once or while held; and without a hold at lower ratios. */
export interface TradeOff {
  readonly plain: GuardSweep;
  readonly held: GuardSweep;
  readonly hysteresis: readonly GuardSweep[];
}

export interface ChoiceResult<Part extends string = string, Why = unknown> extends TakeChecks<Part, Why> {
  readonly choice: Choice<Part>;
  readonly byTake: HeldOut<Part> | null;
  readonly byPerformer: HeldOut<Part> | null;
  readonly borders: readonly Border<Part>[];
  /** Takes on which the choice has been checked. */
  readonly stressed: number;
  /** By motion only; null where no press is labelled, or nothing is suggested. */
  readonly agreement: Agreement | null;
}

export type GuardValue = { readonly kind: 'guard' } & ChoiceValue<
  GuardPart,
  GuardGrid,
  TakeEvidence,
  PressVerdict
>;
export type MotionValue = { readonly kind: 'motion' } & ChoiceValue<
  GuardPart,
  GuardGrid,
  MotionEvidence,
  never
>;
export type DeflectionValue = { readonly kind: 'deflection' } & ChoiceValue<
  DeflectionPart,
  DeflectionGrid,
  SwingEvidence,
  MissReason
>;
export type GestureValue = { readonly kind: GestureMapKind } & ChoiceValue<
  GesturePart,
  GestureGrid,
  GestureEvidence,
  MissCause
>;

export interface TakeReversal extends ReversalRow {
  readonly takeId: string;
  readonly title: string;
}

/** A stray press that was let through, and why. */
export interface Slip {
  readonly takeId: string;
  readonly title: string;
  readonly downUs: number;
  readonly explanation: SlipExplanation;
  readonly picture: DipPicture | null;
}

export interface ReversalsValue extends Progress {
  readonly kind: 'reversals';
  readonly rows: readonly TakeReversal[];
  readonly slips: readonly Slip[];
  readonly curve: HoldCurve | null;
  readonly strays: number;
  /** Evidence of all takes, those left out too: a change of a setting would rest on it. */
  readonly evidence: readonly TakeEvidence[];
}

export type ValueOf<J extends Job> = J extends GuardJob
  ? GuardValue
  : J extends MotionJob
    ? MotionValue
    : J extends DeflectionJob
      ? DeflectionValue
      : J extends GestureJob
        ? GestureValue
        : ReversalsValue;

export type JobValue = GuardValue | MotionValue | DeflectionValue | GestureValue | ReversalsValue;
