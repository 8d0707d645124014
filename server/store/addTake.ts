import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { buttonsOf } from '../engine/base/buttons.ts';
import { DEFAULT_CALIBRATION } from '../engine/calibrate/calibration.ts';
import { EMPTY_LABELS, type Labels } from '../engine/labels/labels.ts';
import { CancelledError } from '../errors.ts';
import type { Hooks, Mapping } from '../ingest/ground/types.ts';
import { likelyPowerButton } from '../ingest/roles/tracks.ts';
import { columnsKey } from './columnsFile.ts';
import {
  type CalibrationDocument,
  DOCUMENT_FORMAT,
  type SourceFile,
  type TakeDocument,
} from './documents.ts';
import { MappingError } from './errors.ts';
import { newTakeId, type TakeId } from './ids.ts';
import type { IngestRunner, ReadResult } from './ingestTasks.ts';
import { keepSources } from './keepSources.ts';
import type { SourceOnDisk } from './sourceFiles.ts';
import { checkCalibration } from './takeChange.ts';
import { COLUMNS_NAME, SOURCE_FOLDER } from './takeFolder.ts';
import type { TakeStore } from './takeStore.ts';

export interface NewTake {
  readonly sources: readonly SourceOnDisk[];
  readonly mapping: Mapping;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  /** ISO 8601. */
  readonly createdAt: string;
  readonly notes?: string;
  /** What a demonstration take knows of itself, once its presses are read. */
  readonly demo?: DemoPart;
}

export interface DemoPart {
  readonly calibration: Pick<CalibrationDocument, 'mount' | 'leverArmM' | 'bladeLengthM'>;
  readonly notes: string;
  labels(read: ReadResult): Labels;
}

/**
 * Reads the sources and adds them as a take: it is in the workspace as a whole, or not at all.
 * @throws LogFormatError | MappingError | CancelledError | DiskFullError
 */
export async function addTake(
  takes: TakeStore,
  ingest: IngestRunner,
  take: NewTake,
  hooks: Hooks,
): Promise<TakeDocument> {
  checkFits(take);
  const id = newTakeId(take.title);
  const staged = await takes.stage(id);
  try {
    const read = await readInto(staged, ingest, take, hooks);
    const kept = await keepSources(join(staged, SOURCE_FOLDER), take.sources);
    if (hooks.signal?.aborted) throw new CancelledError();
    return await takes.add(staged, documentOf(id, take, kept, read));
  } catch (error) {
    await rm(staged, { recursive: true, force: true });
    throw error;
  }
}

function readInto(staged: string, ingest: IngestRunner, take: NewTake, hooks: Hooks): Promise<ReadResult> {
  const { sources, mapping } = take;
  const task = {
    sources,
    mapping,
    columnsPath: join(staged, COLUMNS_NAME),
    columnsKey: columnsKey(sources, mapping),
  };
  return ingest.read(task, hooks);
}

function documentOf(id: TakeId, take: NewTake, kept: readonly SourceFile[], read: ReadResult): TakeDocument {
  const { sources, mapping, title, performer, drill, createdAt, demo } = take;
  return {
    format: DOCUMENT_FORMAT,
    id,
    revision: 0,
    title: title.trim() || (sources[0]?.name ?? id),
    performer,
    drill,
    notes: demo?.notes ?? take.notes ?? '',
    createdAt,
    sources: kept,
    mapping,
    report: read.report,
    presses: read.presses,
    textSpans: read.textSpans,
    ...(read.decisions && { decisions: read.decisions }),
    labels: demo?.labels(read) ?? EMPTY_LABELS,
    calibration: calibrationOf(take),
    powerButton: likelyPowerButton(buttonsOf({ presses: read.presses, mapping })),
    isDemo: demo !== undefined,
  };
}

function calibrationOf({ mapping, demo }: NewTake): CalibrationDocument {
  const isMountStated = demo !== undefined || mapping.isMountAssumed !== true;
  const known = demo?.calibration ?? { mount: mapping.mount };
  return { ...DEFAULT_CALIBRATION, ...known, ...(isMountStated && { isMountStated }), bias: 'auto' };
}

/** @throws MappingError | TakeChangeError  where a mapping is not of these files */
export function checkFits({ sources, mapping, demo }: Pick<NewTake, 'sources' | 'mapping' | 'demo'>): void {
  if (mapping.files.length !== sources.length) {
    throw new MappingError(
      `mapping.files: ${mapping.files.length} of them, but ${sources.length} files were handed in.`,
    );
  }
  for (const [i, { file, index }] of mapping.columns.entries()) {
    const count = mapping.files[file]?.columnCount ?? 0;
    if (!(index < count))
      throw new MappingError(`mapping.columns[${i}]: file ${file} has no column ${index}.`);
  }
  checkCalibration({ mount: demo?.calibration.mount ?? mapping.mount });
}
