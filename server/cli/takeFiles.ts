import type { ColumnPlace, HeldMotion, Overrides, ReadTake, RoleOverride } from '../ingest/ground/types.ts';
import { type FileHead, readFileHead } from '../ingest/layout/fileHead.ts';
import { type PreviewedTake, previewAndRead } from '../ingest/preview/preview.ts';
import { motionIn } from '../ingest/roles/roles.ts';
import { readTake } from '../ingest/take/readTake.ts';
import { placeOf } from './columnPlaces.ts';
import type { NamedSource } from './fileSource.ts';
import type { ReadOptions } from './inspectArgs.ts';
import { UsageError } from './io.ts';

/** Files of the command that make up one take, and what the options say of their columns. */
export interface TakeFiles {
  readonly sources: readonly NamedSource[];
  /** `file` counts among `sources`. */
  readonly roles: readonly RoleOverride[];
  readonly reversed: readonly ColumnPlace[];
}

/** Fewer columns hold no second sensor. */
const TWO_SENSORS = 6;

/**
 * Sorts files into takes. Several files are ONE take where each of them lacks acceleration or angular rate and
 * together they hold both, going by what the options say and then by the files; in every other case each file is a take
 * of its own.
 * @throws UsageError  where an option names a column that is not there
 */
export async function groupFiles(
  sources: readonly NamedSource[],
  { choices, reversed }: Pick<ReadOptions, 'choices' | 'reversed'>,
): Promise<TakeFiles[]> {
  const isNothingSaid = choices.length === 0 && reversed.length === 0;
  if (isNothingSaid && sources.length < 2) return alone(sources, [], []);
  const heads = await readHeads(sources);
  // Not readable by itself: its own report will say why.
  if (heads === null) return alone(sources, [], []);
  const files = heads.map(({ layout }, i) => ({ source: sources[i]!, names: layout.names }));
  const roles = choices.map(({ column, ...stated }) => ({ ...placeOf('--map', column, files), ...stated }));
  const places = reversed.map((column) => placeOf('--reverse', column, files));
  if (sources.length < 2) return alone(sources, roles, places);
  const kinds = heads.map((head, file) =>
    heldBy(
      head,
      roles.filter((own) => own.file === file),
    ),
  );
  const isNoneWhole = kinds.every(({ accel, gyro }) => !(accel && gyro));
  const isPair = isNoneWhole && kinds.some(({ accel }) => accel) && kinds.some(({ gyro }) => gyro);
  return isPair ? [{ sources, roles, reversed: places }] : alone(sources, roles, places);
}

/** Previews one take with the user's options. @throws UsageError  where --reverse names a column without a sign */
export async function previewFiles(
  { sources, roles, reversed }: TakeFiles,
  { choices: _, reversed: __, ...stated }: ReadOptions,
): Promise<PreviewedTake> {
  const overrides: Overrides = {
    ...stated,
    ...(roles.length > 0 ? { roles } : {}),
    ...(reversed.length > 0 ? { reversed } : {}),
  };
  const previewed = await previewAndRead(sources, overrides, {});
  const { columns } = previewed.preview.mapping;
  for (const place of reversed) {
    const column = columns.find(({ file, index }) => file === place.file && index === place.index)!;
    if (!column.reversed)
      throw new UsageError(`--reverse: column "${column.name}" is ${column.role}: it has no sign to reverse`);
  }
  return previewed;
}

/** The take as it was previewed; its files are read again only where the preview has not read them so. */
export async function readPreviewed(
  { sources }: Pick<TakeFiles, 'sources'>,
  { preview, take }: PreviewedTake,
): Promise<ReadTake> {
  return take ?? (await readTake(sources, preview.mapping, {}));
}

function alone(
  sources: readonly NamedSource[],
  roles: readonly RoleOverride[],
  reversed: readonly ColumnPlace[],
): TakeFiles[] {
  const own = <T extends ColumnPlace>(places: readonly T[], file: number): T[] =>
    places.filter((place) => place.file === file).map((place) => ({ ...place, file: 0 }));
  return sources.map((source, file) => ({
    sources: [source],
    roles: own(roles, file),
    reversed: own(reversed, file),
  }));
}

async function readHeads(sources: readonly NamedSource[]): Promise<FileHead[] | null> {
  try {
    const heads: FileHead[] = [];
    for (const [file, source] of sources.entries()) heads.push(await readFileHead(source, file));
    return heads;
  } catch {
    return null;
  }
}

/** What a file holds: what is stated of its columns, and what the file itself tells. */
function heldBy(head: FileHead, roles: readonly RoleOverride[]): HeldMotion {
  const guess = motionIn(head);
  const states = (kind: string) => roles.some(({ role }) => role.startsWith(kind));
  const hasRoom = head.mapping.columnCount > TWO_SENSORS;
  return {
    accel: states('accel') || (guess.accel && (hasRoom || !states('gyro'))),
    gyro: states('gyro') || (guess.gyro && (hasRoom || !states('accel'))),
  };
}
