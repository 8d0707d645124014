/**
 * Every body that crosses the wire. What comes in is declared as a schema and its type derived from it; what goes
 * out is declared as a type only: a response schema silently drops the keys it does not know.
 */
import { type Static, type TSchema, Type } from 'typebox';
import type { Mount } from '../engine/base/mount.ts';
import { STATED_BOUNDS } from '../engine/base/statedBounds.ts';
import type { SettingEvidence } from '../engine/kept/keptSetting.ts';
import { LABEL_FIELDS, type LabelField, type LabelList, type LabelOf } from '../engine/labels/labels.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import type {
  CandidatesDocument,
  StoredSetting,
  TakeDocument,
  TakeSummary,
  UploadedFile,
} from '../store/documents.ts';
import type { RecordingDocument, RecordingState } from '../store/recordings/recordingFiles.ts';
import type { KeptTake } from '../store/recordings/recordings.ts';
import { bounded, id, mapping, micros, mount, oneOf, overrides, STRICT, text } from './readingSchemas.ts';

export type { LedgerEntry } from '../ingest/ground/ledger.ts';
export type {
  BadRow,
  ButtonDoubt,
  ClockUse,
  ColumnMapping,
  FileMapping,
  HeldMotion,
  LogReport,
  Mapping,
  Overrides,
  Preview,
  RoleOverride,
  TextSpan,
} from '../ingest/ground/types.ts';
export type {
  CalibrationDocument,
  CandidatesDocument,
  KnownFile,
  RemovedTakes,
  SourceFile,
  StoredSetting,
  TakeDocument,
  TakeSummary,
  UploadPreview,
} from '../store/documents.ts';
export type { TakeOverview } from '../store/overviewCache.ts';
export * from './archiveSchemas.ts';

/** A body as its reader sees it: nothing in it is to be changed. */
type DeepReadonly<T> = T extends object ? { readonly [K in keyof T]: DeepReadonly<T[K]> } : T;
type Body<S extends TSchema> = DeepReadonly<Static<S>>;

const uploadIds = () => Type.Array(id(), { minItems: 1, maxItems: 64, uniqueItems: true });

export const UploadQuerySchema = Type.Object({ name: Type.String({ minLength: 1, maxLength: 255 }) }, STRICT);
/** Ids with commas between, as many as an address has room for. */
export const DocumentsQuerySchema = Type.Object(
  { ids: Type.String({ pattern: '^[a-z0-9-]{1,64}(,[a-z0-9-]{1,64}){0,29}$' }) },
  STRICT,
);
export const IdParamsSchema = Type.Object({ id: id() }, STRICT);
export const SourceParamsSchema = Type.Object(
  { id: id(), index: Type.String({ pattern: '^(0|[1-9][0-9]{0,2})$' }) },
  STRICT,
);

export const PreviewRequestSchema = Type.Object(
  { uploadIds: uploadIds(), overrides: overrides(), applyRemembered: Type.Optional(Type.Boolean()) },
  STRICT,
);
export type PreviewRequestBody = Body<typeof PreviewRequestSchema>;

export const NewTakeSchema = Type.Object(
  {
    uploadIds: uploadIds(),
    mapping: mapping(),
    title: text(200),
    performer: text(200),
    drill: text(200),
    corrections: Type.Optional(overrides()),
  },
  STRICT,
);
export type NewTakeBody = Body<typeof NewTakeSchema>;

/** Without overrides: as the take is read now. */
export const TakePreviewSchema = Type.Object({ overrides: Type.Optional(overrides()) }, STRICT);
export type TakePreviewBody = Body<typeof TakePreviewSchema>;

export const RereadSchema = Type.Object(
  {
    revision: Type.Integer({ minimum: 0 }),
    mapping: mapping(),
    dropsLabels: Type.Boolean(),
    corrections: Type.Optional(overrides()),
  },
  STRICT,
);
export type RereadBody = Body<typeof RereadSchema>;

export const NewRecordingSchema = Type.Object(
  { source: text(200), title: text(200), performer: text(200), drill: text(200) },
  STRICT,
);
export type NewRecordingBody = Body<typeof NewRecordingSchema>;

// Changing a take

const labelField = (field: LabelField) =>
  field === 'us' ? micros() : 'of' in field ? oneOf(...field.of) : text(field.longest);

const labelsIn = <List extends LabelList>(list: List) => {
  const fields = Object.entries<LabelField>(LABEL_FIELDS[list]).map(([name, field]) => [
    name,
    labelField(field),
  ]);
  return Type.Array(Type.Unsafe<LabelOf<List>>(Type.Object(Object.fromEntries(fields), STRICT)));
};

const labels = () =>
  Type.Object(
    {
      presses: labelsIn('presses'),
      spans: labelsIn('spans'),
      swings: labelsIn('swings'),
      gestures: Type.Optional(labelsIn('gestures')),
    },
    STRICT,
  );

const calibration = () =>
  Type.Object(
    {
      mount: mount(),
      isMountStated: Type.Optional(Type.Boolean()),
      leverArmM: bounded(STATED_BOUNDS.leverArmM),
      bladeLengthM: bounded(STATED_BOUNDS.bladeLengthM),
      accelScale: bounded(STATED_BOUNDS.accelScale),
      bias: Type.Literal('auto'),
    },
    STRICT,
  );

export const PatchTakeSchema = Type.Object(
  {
    revision: Type.Integer({ minimum: 0 }),
    title: Type.Optional(text(200)),
    performer: Type.Optional(text(200)),
    drill: Type.Optional(text(200)),
    prop: Type.Optional(text(200)),
    day: Type.Optional(text(200)),
    firmware: Type.Optional(text(200)),
    sensor: Type.Optional(text(200)),
    notes: Type.Optional(text(20_000)),
    labels: Type.Optional(labels()),
    calibration: Type.Optional(calibration()),
    powerButton: Type.Optional(Type.Union([text(1000), Type.Null()])),
    deflectionButton: Type.Optional(Type.Union([text(1000), Type.Null()])),
    useUnfit: Type.Optional(Type.Boolean()),
  },
  STRICT,
);
export type PatchTakeBody = Body<typeof PatchTakeSchema>;

// Candidates: the engine's own rules say what a candidate is, so the schema asks for an object and no more.

const candidate = () => Type.Unsafe<Candidate>({ type: 'object' });

export const PutCandidatesSchema = Type.Object(
  { revision: Type.Integer({ minimum: 0 }), a: candidate(), b: candidate() },
  STRICT,
);

const keptSetting = () => ({
  name: Type.String({ minLength: 1, maxLength: 200 }),
  prop: text(200),
  performers: Type.Array(Type.String({ minLength: 1, maxLength: 200 }), { maxItems: 200, uniqueItems: true }),
  note: text(20_000),
  candidate: candidate(),
  // Checked by the published schema of the whole file, once it is put together.
  evidence: Type.Unsafe<SettingEvidence | null>({ type: ['object', 'null'] }),
});

export const NewSettingSchema = Type.Object(keptSetting(), STRICT);
export type NewSettingBody = Body<typeof NewSettingSchema>;
export const PutSettingSchema = Type.Object(
  { revision: Type.Integer({ minimum: 0 }), ...keptSetting() },
  STRICT,
);
export type PutSettingBody = Body<typeof PutSettingSchema>;

/** The file of a kept setting, as its text. */
export const SettingFileSchema = Type.Object({ text: Type.String({ minLength: 1 }) }, STRICT);

// What goes out

export interface SettingsBody {
  readonly settings: readonly StoredSetting[];
  /** One plain sentence for each that could not be read. */
  readonly problems: readonly string[];
}

export interface WorkspaceBody {
  readonly name: string;
  /** The folder, as the user would type it. */
  readonly path: string;
  readonly takes: readonly TakeSummary[];
  readonly candidates: CandidatesDocument;
  /** The job that is adding the demonstration takes, while it runs: ask again as it goes on. */
  readonly demoJobId: string | null;
  /** What of the folder could not be read, one plain sentence each. */
  readonly problems: readonly string[];
}

/** The recordings that are going on or wait to become takes, and the takes that recordings became of late. */
export interface RecordingsBody {
  readonly recordings: readonly RecordingBody[];
  /** The latest first. */
  readonly kept: readonly KeptTake[];
}

export interface RecordingBody
  extends Pick<
    RecordingDocument,
    'id' | 'source' | 'title' | 'performer' | 'drill' | 'startedAt' | 'questions'
  > {
  readonly state: RecordingState;
  /** Whether its source has gone away and is waited for. */
  readonly isAway: boolean;
  readonly timesAway: number;
}

/** `LiveNews` as it crosses the wire, an event of a stream each. */
export interface LiveNewsBody {
  readonly sizeBytes: number;
  readonly reading?: { readonly rateHz: number; readonly mount: Mount };
  readonly problems: readonly string[];
  readonly batches: readonly {
    readonly timeUs: readonly number[];
    /** Rates in deg/s, then forces in g, sensor frame. */
    readonly columns: readonly (readonly number[])[];
    /** 1 where the power button is down, and the one that deflections may wait for, a value a row; null: there is none. */
    readonly power: readonly number[];
    readonly deflection: readonly number[] | null;
    readonly tellsReleases: boolean;
    readonly leftOut: number;
  }[];
}

export type UploadBody = UploadedFile;

/** The answer to work that goes on: ask for the job until it is no longer running. */
export interface DocumentsBody {
  readonly documents: readonly TakeDocument[];
}

export interface JobStartedBody {
  readonly jobId: string;
}

export type JobState = 'running' | 'done' | 'failed' | 'cancelled';

export interface JobBody {
  readonly state: JobState;
  /** 0 to 1. */
  readonly progress: number;
  /** An `UploadPreview`, a `NewTakeResult` or a `RereadResult`, once done. */
  readonly result?: unknown;
  readonly error?: ErrorBody;
}

export interface NewTakeResult {
  readonly takeId: TakeDocument['id'];
  /** Why the corrections could not be kept for the next log; null where there is nothing to tell. */
  readonly notRemembered: string | null;
}

export interface RereadResult {
  /** False where labels would have gone and may not: then nothing was changed. */
  readonly isStored: boolean;
  /** What of the labels fits no longer; null where all of them do. */
  readonly leftOut: string | null;
  readonly notRemembered: string | null;
}

/** Every failure. File, line and column (from 1) say where in a log, `path` where in the request. */
export interface ErrorBody {
  readonly code: string;
  readonly message: string;
  readonly file?: string;
  readonly line?: number;
  readonly column?: number;
  readonly path?: string;
}
