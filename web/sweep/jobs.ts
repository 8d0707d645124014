import type { Press } from '../../server/engine/base/log.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import type { Border, LostPress } from '../../server/engine/choose/borders.ts';
import type { DeflectionChoice } from '../../server/engine/choose/chooseDeflection.ts';
import type { DeflectionBorder, LostDeflection } from '../../server/engine/choose/deflectionBorders.ts';
import type { DeflectionHeldOut } from '../../server/engine/choose/deflectionHeldOut.ts';
import type { DeflectionStress } from '../../server/engine/choose/deflectionStress.ts';
import type { ExplainedDeflection } from '../../server/engine/choose/deflectionVerdicts.ts';
import type { TakeEvidence } from '../../server/engine/choose/evidence.ts';
import type { GestureBorder, LostGesture } from '../../server/engine/choose/gestures/borders.ts';
import type { GestureChoice } from '../../server/engine/choose/gestures/chooseGesture.ts';
import type { GestureEvidence } from '../../server/engine/choose/gestures/evidence.ts';
import type { GestureHeldOut } from '../../server/engine/choose/gestures/heldOut.ts';
import type { GestureBase, GestureMapKind } from '../../server/engine/choose/gestures/maps.ts';
import type { ExplainedGesture } from '../../server/engine/choose/gestures/missCauses.ts';
import type { GestureStress } from '../../server/engine/choose/gestures/stress.ts';
import type { GestureGrid } from '../../server/engine/choose/gestures/take.ts';
import type { GuardHeldOut } from '../../server/engine/choose/heldOut.ts';
import type { Agreement } from '../../server/engine/choose/motion/agreement.ts';
import type { MotionEvidence } from '../../server/engine/choose/motion/motionPart.ts';
import type { StressResult } from '../../server/engine/choose/stress.ts';
import type { Choice } from '../../server/engine/choose/suggest.ts';
import type { SwingEvidence } from '../../server/engine/choose/swingEvidence.ts';
import type { GuardGrid } from '../../server/engine/choose/takeSweep.ts';
import type { DeflectionSettings } from '../../server/engine/detect/deflection.ts';
import type { GuardSettings } from '../../server/engine/detect/guard.ts';
import type { SlipExplanation } from '../../server/engine/explain/causes.ts';
import type { HoldCurve, ReversalRow } from '../../server/engine/explain/reversalRows.ts';
import type { SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { DeflectionSweep } from '../../server/engine/sweep/deflectionSweep.ts';
import type { GuardSweep } from '../../server/engine/sweep/guardSweep.ts';

/** A take as the page names it; document and columns are read by whoever does the job. */
export interface JobTake {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  /** An older document will not do. */
  readonly revision: number;
  /** Instead of the document's; null for those. */
  readonly labels: Labels | null;
  /** Why its signals leave it out; null where they do not. */
  readonly unfit: string | null;
}

/** A take whose document is read. `presses` are the power button's, `allPresses` those of every button. */
export interface TakeInput {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly calibration: Calibration;
  readonly presses: readonly Press[];
  readonly allPresses: readonly Press[];
  readonly labels: Labels;
  readonly unfit: string | null;
}

export interface GuardJob {
  readonly kind: 'guard';
  readonly takes: readonly JobTake[];
  readonly smoothing: SmoothingSettings;
  /** Release ratio and the moment that is judged hold for the whole map. */
  readonly base: GuardSettings;
}

/** The guard's map by motion alone: spins stand for stray presses, stops for wanted ones. */
export interface MotionJob {
  readonly kind: 'motion';
  readonly takes: readonly JobTake[];
  readonly smoothing: SmoothingSettings;
  readonly base: GuardSettings;
  readonly patienceMs: number;
}

export interface DeflectionJob {
  readonly kind: 'deflection';
  readonly takes: readonly JobTake[];
  readonly smoothing: SmoothingSettings;
  readonly base: DeflectionSettings;
}

export interface GestureJob {
  readonly kind: GestureMapKind;
  readonly takes: readonly JobTake[];
  readonly smoothing: SmoothingSettings;
  /** All but the two settings that the map spans holds for the whole map. */
  readonly base: GestureBase;
}

export interface ReversalsJob {
  readonly kind: 'reversals';
  readonly takes: readonly JobTake[];
  readonly smoothing: SmoothingSettings;
  readonly guard: GuardSettings;
}

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

export interface GuardValue extends Progress {
  readonly kind: 'guard';
  /** The sum over the takes that are fit; null before the first. */
  readonly grid: GuardGrid | null;
  /** The same with a release ratio of 1, and without a hold at lower ratios: the families of the trade-off. */
  readonly plain: GuardSweep | null;
  readonly hysteresis: readonly GuardSweep[];
  readonly evidence: readonly TakeEvidence[];
  /** Once all takes are swept. */
  readonly verdict: GuardVerdict | null;
}

export interface GuardVerdict {
  readonly choice: Choice;
  readonly byTake: GuardHeldOut | null;
  readonly byPerformer: GuardHeldOut | null;
  readonly borders: readonly Border[];
  /** Presses lost beyond the borders, and those that come out wrong at the suggestion itself. */
  readonly lost: readonly LostPress[];
  readonly wrong: readonly WrongPress[];
  readonly stress: readonly StressResult[];
  /** Takes on which the stress has been tried. */
  readonly stressed: number;
}

export interface WrongPress {
  readonly takeId: string;
  readonly title: string;
  readonly downUs: number;
  readonly intent: 'wanted' | 'stray';
  /** Why the guard decided so, a sentence for the performer; where it is a press that was judged. */
  readonly reason?: string;
}

export interface MotionValue extends Progress {
  readonly kind: 'motion';
  /** The sum over the takes that count; null before the first. */
  readonly grid: GuardGrid | null;
  readonly evidence: readonly MotionEvidence[];
  /** Once all takes are swept. */
  readonly verdict: MotionVerdict | null;
}

/** As by presses: a spin stands for a stray press, a stop for a wanted one, each with the moment at which it begins. */
export interface MotionVerdict extends GuardVerdict {
  /** null where no press is labelled, or nothing is suggested. */
  readonly agreement: Agreement | null;
}

export interface DeflectionValue extends Progress {
  readonly kind: 'deflection';
  /** The sum over the takes that are fit; null before the first. */
  readonly grid: DeflectionSweep | null;
  readonly evidence: readonly SwingEvidence[];
  /** Once all takes are swept. */
  readonly verdict: DeflectionVerdict | null;
}

export interface DeflectionVerdict {
  readonly choice: DeflectionChoice;
  readonly byTake: DeflectionHeldOut | null;
  readonly byPerformer: DeflectionHeldOut | null;
  readonly borders: readonly DeflectionBorder[];
  /** What is lost beyond the borders, and what goes wrong at the suggestion itself. */
  readonly lost: readonly LostDeflection[];
  readonly wrong: readonly (ExplainedDeflection & { readonly takeId: string; readonly title: string })[];
  readonly stress: readonly DeflectionStress[];
  /** Takes on which the stress has been tried. */
  readonly stressed: number;
}

export interface GestureValue extends Progress {
  readonly kind: GestureMapKind;
  /** The sum over the takes that are fit; null before the first. */
  readonly grid: GestureGrid | null;
  readonly evidence: readonly GestureEvidence[];
  /** Once all takes are swept. */
  readonly verdict: GestureVerdict | null;
}

export interface GestureVerdict {
  readonly choice: GestureChoice;
  readonly byTake: GestureHeldOut | null;
  readonly byPerformer: GestureHeldOut | null;
  readonly borders: readonly GestureBorder[];
  /** What is lost beyond the borders, and what goes wrong at the suggestion itself. */
  readonly lost: readonly LostGesture[];
  readonly wrong: readonly (ExplainedGesture & { readonly takeId: string; readonly title: string })[];
  readonly stress: readonly GestureStress[];
  /** Takes on which the stress has been tried. */
  readonly stressed: number;
}

export interface TakeReversal extends ReversalRow {
  readonly takeId: string;
  readonly title: string;
}

/** A stray press that slipped through, and why. */
export interface Slip {
  readonly takeId: string;
  readonly title: string;
  readonly downUs: number;
  readonly explanation: SlipExplanation;
}

export interface ReversalsValue extends Progress {
  readonly kind: 'reversals';
  readonly rows: readonly TakeReversal[];
  readonly slips: readonly Slip[];
  readonly curve: HoldCurve | null;
  readonly strays: number;
  /** Of all takes, those left out too: on how much a change of a setting would rest. */
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

/** What the page sends, and what comes back. */
export type ToWorker =
  | {
      readonly type: 'start';
      readonly id: number;
      readonly job: Job;
      readonly firstId: string | null;
    }
  | { readonly type: 'cancel'; readonly id: number };
export type FromWorker =
  | { readonly id: number; readonly type: 'value'; readonly value: JobValue }
  | { readonly id: number; readonly type: 'failed'; readonly message: string };
