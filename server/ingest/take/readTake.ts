import type { Hooks, LogSource, Mapping, ReadTake } from '../ground/types.ts';
import { planTable } from '../table/plan.ts';
import { readTable } from '../table/readTable.ts';
import { assembleTake } from './assemble.ts';
import { checkAxes, checkMapping } from './checkMapping.ts';
import type { FilePart } from './prepare.ts';
import { prepareTable } from './prepare.ts';

/**
 * Reads the files of a take as the mapping says.
 * @throws LogFormatError  where a file does not hold what the mapping expects
 * @throws RangeError  where the mapping makes no take
 * @throws CancelledError  where `hooks.signal` is aborted
 */
export async function readTake(
  sources: readonly LogSource[],
  mapping: Mapping,
  hooks: Hooks,
): Promise<ReadTake> {
  checkAxes(mapping);
  return assembleTake(await readParts(sources, mapping, hooks), mapping);
}

/** Reads and prepares every file that has a role; progress runs over all of them together. */
export async function readParts(
  sources: readonly LogSource[],
  mapping: Mapping,
  hooks: Hooks,
): Promise<FilePart[]> {
  if (sources.length !== mapping.files.length) {
    throw new RangeError(`the mapping is for ${mapping.files.length} files, not ${sources.length}`);
  }
  checkMapping(mapping);
  const total = sources.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0) || 1;
  const parts: FilePart[] = [];
  let done = 0;
  for (const [file, source] of sources.entries()) {
    const plan = planTable(mapping, file);
    if (plan.motion.length === 0 && plan.tracks.length === 0) continue;
    const before = done;
    const onProgress = (share: number) => hooks.onProgress?.((before + share * source.sizeBytes) / total);
    const tables = await readTable(source, plan, { ...hooks, onProgress });
    const unit = mapping.columns.find((column) => column.file === file && column.role === 'time')?.unit ?? '';
    const choice = { clock: mapping.clock ?? null, evenHz: mapping.evenHz ?? null };
    for (const table of tables)
      parts.push({ file, prepared: prepareTable(table, unit, mapping.rateHz, choice) });
    done += source.sizeBytes;
  }
  return parts;
}
