import type { LoggedDecisions } from '../engine/base/decisions.ts';
import type { Press } from '../engine/base/log.ts';
import type { Mount } from '../engine/base/mount.ts';
import type { RecordedOn } from '../engine/base/session.ts';
import type { KeptSetting } from '../engine/kept/keptSetting.ts';
import type { TakeContent } from '../engine/kept/takeContent.ts';
import type { Labels } from '../engine/labels/labels.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import type { LogReport, Mapping, Preview, TextSpan } from '../ingest/ground/types.ts';

/** The layout that this program writes; a higher number on disk was written by a newer version. */
export const DOCUMENT_FORMAT = 1;

/** One file of a take, as it was handed in. `name` is the user's own name for it. */
export interface SourceFile {
  readonly name: string;
  readonly sizeBytes: number;
  /** Lower-case hex. */
  readonly sha256: string;
  /** Its name in the take's folder of sources; missing in an upload and in takes of older versions. */
  readonly storedAs?: string;
}

/** What turns the sensor's readings into the prop's motion; the bias is always estimated from the log. */
export interface CalibrationDocument {
  readonly mount: Mount;
  /** See `Calibration`. */
  readonly isMountStated?: boolean;
  readonly leverArmM: number;
  readonly bladeLengthM: number;
  readonly accelScale: number;
  readonly bias: 'auto';
}

/** All that the workspace knows of a take, except its columns: `takes/<id>/take.json`. */
export interface TakeDocument extends RecordedOn {
  readonly format: typeof DOCUMENT_FORMAT;
  readonly id: string;
  /** Counts up at every change; a change must name the revision that it started from. */
  readonly revision: number;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  readonly notes: string;
  /** ISO 8601. */
  readonly createdAt: string;
  readonly sources: readonly SourceFile[];
  readonly mapping: Mapping;
  readonly report: LogReport;
  readonly presses: readonly Press[];
  readonly textSpans: readonly TextSpan[];
  /** What the prop logged of its own decisions; takes read by older versions don't say, nor does a log without them. */
  readonly decisions?: LoggedDecisions;
  readonly labels: Labels;
  readonly calibration: CalibrationDocument;
  /** The button that the guard judges; null where the log has none. */
  readonly powerButton: string | null;
  /** The button that deflections may wait for, where somebody has said which; see `deflectionButtonOf`. */
  readonly deflectionButton?: string | null;
  /** Somebody includes it although its signals are not fit to choose on. */
  readonly useUnfit?: boolean;
  readonly isDemo: boolean;
}

/** What a user may change of a take. */
export interface TakeChange extends RecordedOn {
  readonly title?: string;
  readonly performer?: string;
  readonly drill?: string;
  readonly notes?: string;
  readonly labels?: Labels;
  readonly calibration?: CalibrationDocument;
  readonly powerButton?: string | null;
  readonly deflectionButton?: string | null;
  readonly useUnfit?: boolean;
}

export interface TakeSummary {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  /** '' where nobody said so; `session` as `sessionName` tells it. */
  readonly prop: string;
  readonly session: string;
  readonly durationS: number;
  readonly rateHz: number;
  /** Of the button that the guard judges. */
  readonly pressCount: number;
  readonly isDemo: boolean;
  readonly createdAt: string;
  readonly useUnfit: boolean;
  readonly revision: number;
  /** See `basisFingerprint`. */
  readonly fingerprint: string;
  readonly content: TakeContent;
}

/** A file that is a take of the workspace already, or a part of one, byte for byte. */
export interface KnownFile {
  /** As it is called now. */
  readonly name: string;
  readonly takeId: string;
  readonly title: string;
}

/** A preview of uploaded files, and which of them are here already. */
export type UploadPreview = Preview & { readonly known: readonly KnownFile[] };

/** What lies in the trash. */
export interface RemovedTakes {
  readonly takes: readonly TakeSummary[];
  readonly problems: readonly string[];
}

/** The two candidates that stand side by side: `candidates.json`. */
export interface CandidatesDocument {
  readonly revision: number;
  readonly a: Candidate;
  readonly b: Candidate;
}

/** A kept setting of a workspace: `settings/<id>.json`. A change must name the revision that it started from. */
export interface StoredSetting extends KeptSetting {
  readonly id: string;
  readonly revision: number;
}

export interface UploadedFile {
  readonly uploadId: string;
  readonly name: string;
  readonly sizeBytes: number;
}
