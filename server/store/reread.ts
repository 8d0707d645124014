import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { buttonsOf } from '../engine/base/buttons.ts';
import { isMountStated, withMount } from '../engine/calibrate/calibration.ts';
import { moveLabels } from '../engine/labels/labelsMoved.ts';
import { leftOutText } from '../engine/words/labels.ts';
import type { Hooks, Mapping, Overrides, Preview } from '../ingest/ground/types.ts';
import { statementsOf, unitStatementsOf } from '../ingest/preview/statements.ts';
import { likelyPowerButton } from '../ingest/roles/tracks.ts';
import { checkFits } from './addTake.ts';
import { moveTo, temporaryName } from './atomicFile.ts';
import { columnsKey } from './columnsFile.ts';
import type { TakeDocument } from './documents.ts';
import { MappingError } from './errors.ts';
import type { IngestRunner, ReadResult } from './ingestTasks.ts';
import { COLUMNS_NAME, checkUnchanged, sourcesOf } from './takeFolder.ts';
import type { TakeStore } from './takeStore.ts';

/** How a stored take is to be read from its own sources. */
export interface Rereading {
  /** Revision of the document that the user looked at. */
  readonly revision: number;
  readonly mapping: Mapping;
  /** Whether labels may go that fit the new reading no longer. */
  readonly dropsLabels: boolean;
}

export interface RereadTake {
  /** null where labels would have gone and may not: then nothing was changed. */
  readonly document: TakeDocument | null;
  /** What of the labels fits no longer; null where all of them do. */
  readonly leftOut: string | null;
}

/**
 * A preview of a stored take's sources.
 * @param overrides  null for the take as it is read now: what differs from the guess is stated, with the take's own mount
 */
export async function previewTake(
  takes: TakeStore,
  ingest: IngestRunner,
  id: string,
  overrides: Overrides | null,
  hooks: Hooks,
): Promise<Preview> {
  const document = takes.get(id);
  const sources = sourcesOf(takes.folderOf(id), document);
  await checkUnchanged(document, sources);
  if (overrides !== null) return ingest.preview({ sources, overrides }, hooks);
  const guess = await ingest.preview({ sources, overrides: {} }, hooks);
  const { mapping, calibration } = document;
  const stated = statementsOf(mapping, guess.mapping);
  // Where something must be stated first, only then are the units guessed.
  const whole = guess.report ? guess : await ingest.preview({ sources, overrides: stated }, hooks);
  const units = unitStatementsOf(mapping, whole.mapping);
  const isStated = isMountStated(calibration);
  const all = { ...stated, ...units, ...(isStated && { mount: calibration.mount }) };
  const preview = await ingest.preview({ sources, overrides: all }, hooks);
  if (!isStated) return preview;
  // Nobody has stated it anew.
  return { ...preview, mapping: { ...preview.mapping, mountReason: 'as the take has it' } };
}

/**
 * Reads a stored take again from its verbatim sources. Its labels stay: each moves to where its moment is now.
 * @throws LogFormatError | MappingError | StoreConflictError | StoreCorruptError | CancelledError; the take is as before
 */
export async function rereadTake(
  takes: TakeStore,
  ingest: IngestRunner,
  id: string,
  { revision, mapping, dropsLabels }: Rereading,
  hooks: Hooks,
): Promise<RereadTake> {
  const document = takes.atRevision(id, revision);
  const folder = takes.folderOf(id);
  const sources = sourcesOf(folder, document);
  await checkUnchanged(document, sources);
  checkFits({ sources, mapping });
  // Apart from the columns that are served until the take is read.
  const columnsPath = temporaryName(join(folder, COLUMNS_NAME));
  try {
    const task = { sources, mapping, columnsPath, columnsKey: columnsKey(sources, mapping) };
    const read = await ingest.read(task, hooks);
    const times = await ingest.mapTimes({ sources, before: document.mapping, after: mapping }, hooks);
    if (times.fromUs.length < 2)
      throw new MappingError('no two rows are read in both ways: add the recording as a new take instead');
    const durationUs = read.report.durationS * 1e6;
    const moved = moveLabels(document.labels, times, read.presses, durationUs);
    const leftOut = moved.leftOut && leftOutText(moved.leftOut);
    if (leftOut !== null && !dropsLabels) return { document: null, leftOut };
    const changed = await takes.update(id, revision, (before) =>
      readAnew(before, mapping, read, moved.labels),
    );
    await moveTo(columnsPath, join(folder, COLUMNS_NAME));
    return { document: changed, leftOut };
  } finally {
    await rm(columnsPath, { force: true });
  }
}

function readAnew(
  { decisions: _, deflectionButton, calibration, ...before }: TakeDocument,
  mapping: Mapping,
  { report, presses, textSpans, decisions }: ReadResult,
  labels: TakeDocument['labels'],
): TakeDocument {
  const buttons = buttonsOf({ presses, mapping });
  const isDeflectionThere = deflectionButton === null || buttons.includes(deflectionButton ?? '');
  const isThere = before.powerButton !== null && buttons.includes(before.powerButton);
  return {
    ...before,
    revision: before.revision + 1,
    mapping,
    report,
    presses,
    textSpans,
    ...(decisions && { decisions }),
    labels,
    calibration: {
      ...withMount(calibration, mapping.mount),
      isMountStated: mapping.isMountAssumed !== true,
    },
    powerButton: isThere ? before.powerButton : likelyPowerButton(buttons),
    ...(deflectionButton !== undefined && isDeflectionThere && { deflectionButton }),
  };
}
