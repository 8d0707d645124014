import type { ColumnPlace } from '../ingest/ground/types.ts';
import type { NamedSource } from './fileSource.ts';
import { UsageError } from './io.ts';

/** A file of the command and the names of its columns. */
interface NamedColumns {
  readonly source: NamedSource;
  readonly names: readonly string[];
}

/**
 * The place of a column that the user names by its header's text or by its number from 1, with its file and a colon
 * before it where there are several: `gyro.csv:2`.
 * @param files  all files of the command
 * @returns `file` counts among `files`
 * @throws UsageError  where no column has this name, or more than one
 */
export function placeOf(option: string, text: string, files: readonly NamedColumns[]): ColumnPlace {
  const own = files.flatMap((named, file) =>
    [named.source.path, named.source.name]
      .filter((name) => text.startsWith(`${name}:`))
      .slice(0, 1)
      .map((name) => ({ file, column: text.slice(name.length + 1) })),
  );
  if (own.length > 1) {
    throw new UsageError(
      `${option}: several files are called so in "${text}": name the file by the path that the command has for it`,
    );
  }
  const tried = own.length === 1 ? own : files.map((_, file) => ({ file, column: text }));
  const found = tried.flatMap(({ file, column }) => {
    const index = indexOf(column, files[file]!.names);
    return index === null ? [] : [{ file, index, column }];
  });
  const [first, second] = found;
  if (!first) throw new UsageError(`${option}: there is no column "${text}" (${listed(files)})`);
  if (!second) return { file: first.file, index: first.index };
  const ways = found.map(({ file, column }) => `${files[file]!.source.path}:${column}`);
  throw new UsageError(
    `${option}: there is a column "${text}" in ${found.length} files: write ${ways.slice(0, -1).join(', ')} or ${ways.at(-1)}`,
  );
}

/** By name first: a column may be called 3. */
function indexOf(column: string, names: readonly string[]): number | null {
  const wanted = column.trim().toLowerCase();
  const named = names.findIndex((name) => name.trim().toLowerCase() === wanted);
  const index = named >= 0 ? named : /^\d+$/.test(wanted) ? Number(wanted) - 1 : -1;
  return index >= 0 && index < names.length ? index : null;
}

function listed(files: readonly NamedColumns[]): string {
  const some = (names: readonly string[]) => names.slice(0, 20).join(', ');
  if (files.length === 1) return some(files[0]!.names);
  return files.map(({ source, names }) => `${source.name}: ${some(names)}`).join('; ');
}
