import { readFileHead } from '../ingest/fileHead.ts';
import { previewLog } from '../ingest/preview.ts';
import { motionIn } from '../ingest/roles.ts';
import type { HeldMotion, LogSource, Overrides, Preview, RoleOverride } from '../ingest/types.ts';
import type { ColumnChoice, ReadOptions } from './inspectArgs.ts';
import { UsageError } from './io.ts';

/**
 * Sorts files into takes. Several files are ONE take where each of them lacks acceleration or angular rate and
 * together they hold both; in every other case each file is a take of its own.
 */
export async function groupFiles(sources: readonly LogSource[]): Promise<LogSource[][]> {
  if (sources.length < 2) return sources.map((source) => [source]);
  const kinds: HeldMotion[] = [];
  for (const source of sources) {
    try {
      kinds.push(motionIn(await readFileHead(source, 0)));
    } catch {
      // Not readable by itself: its own report will say why.
      return sources.map((own) => [own]);
    }
  }
  const isNoneWhole = kinds.every(({ accel, gyro }) => !(accel && gyro));
  const isPair = isNoneWhole && kinds.some(({ accel }) => accel) && kinds.some(({ gyro }) => gyro);
  return isPair ? [[...sources]] : sources.map((source) => [source]);
}

/** Previews one take with the user's options. @throws UsageError where --map names a column that is not there */
export async function previewFiles(sources: readonly LogSource[], options: ReadOptions): Promise<Preview> {
  const { choices, ...stated } = options;
  const roles = choices.length === 0 ? [] : await resolveChoices(sources, choices);
  const overrides: Overrides = { ...stated, ...(roles.length > 0 ? { roles } : {}) };
  return previewLog(sources, overrides, {});
}

async function resolveChoices(
  sources: readonly LogSource[],
  choices: readonly ColumnChoice[],
): Promise<RoleOverride[]> {
  const names: (readonly string[])[] = [];
  for (const [file, source] of sources.entries()) names.push((await readFileHead(source, file)).layout.names);
  return choices.map(({ role, column }) => {
    const wanted = column.trim().toLowerCase();
    for (const [file, own] of names.entries()) {
      const named = own.findIndex((name) => name.trim().toLowerCase() === wanted);
      const index = named >= 0 ? named : /^\d+$/.test(wanted) && file === 0 ? Number(wanted) - 1 : -1;
      if (index >= 0 && index < own.length) return { file, index, role };
    }
    throw new UsageError(`--map: there is no column "${column}" (${names.flat().slice(0, 20).join(', ')})`);
  });
}
