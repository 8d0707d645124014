/** Bodies of takes for somebody else, and from somebody else. */
import { Type } from 'typebox';
import { id, STRICT } from './readingSchemas.ts';

export type { ImportPlan as ArchivePlan } from '../store/archive/importArchive.ts';

const takeIds = () =>
  Type.Union([Type.Array(id(), { minItems: 1, maxItems: 10_000, uniqueItems: true }), Type.Null()]);

/** Which takes go into an archive; null for all. */
export const ArchiveRequestSchema = Type.Object({ takeIds: takeIds() }, STRICT);
/** An archive that was uploaded. */
export const ArchiveUploadSchema = Type.Object({ uploadId: id() }, STRICT);

/** An archive that can be fetched by its id. */
export interface ArchiveOffer {
  readonly archiveId: string;
  /** Of the recordings in it. */
  readonly sizeBytes: number;
}

/** What came in. */
export interface ArchiveResult {
  readonly takeIds: readonly string[];
}
