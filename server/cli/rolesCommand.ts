import { MOTION_ROLES, type MotionRole, sensorOf } from '../engine/base/columnRoles.ts';
import { readName } from '../ingest/ground/names.ts';
import type { Mapping } from '../ingest/ground/types.ts';
import { readFileHead } from '../ingest/layout/fileHead.ts';
import type { NamedSource } from './fileSource.ts';

/** One take as it was previewed, or one file of a take. */
export interface ReadFile {
  readonly sources: readonly NamedSource[];
  readonly mapping: Mapping;
}

/**
 * The command to type where no column was found for some of the motion, as an example: the first columns of numbers that
 * nothing was found for stand in for the missing ones, file by file, a file called after a sensor for that sensor. null
 * where nothing is missing, or too few columns are left.
 * @param takes  what the command read; several where they may be halves of one take
 */
export async function rolesCommand(
  program: string,
  argv: readonly string[],
  takes: readonly ReadFile[],
): Promise<string | null> {
  const columns = takes.flatMap(({ mapping }) => mapping.columns);
  const missing = MOTION_ROLES.filter((role) => !columns.some((column) => column.role === role));
  if (missing.length === 0) return null;
  const files = takes.flatMap(({ sources, mapping }) =>
    sources.map((source, file) => ({ source, file, mapping })),
  );
  const spare: Spare[] = [];
  for (const { source, file, mapping } of files) spare.push(await spareOf(source, file, mapping));
  const options: string[] = [];
  for (const kind of ['accel', 'gyro'] as const) {
    const roles = missing.filter((role) => sensorOf(role) === kind);
    const other = kind === 'accel' ? 'gyro' : 'accel';
    const from =
      spare.find((one) => one.kind === kind && one.left.length >= roles.length) ??
      spare.find((one) => one.kind !== other && one.left.length >= roles.length);
    if (!from) return null;
    options.push(...take(roles, from, files.length > 1));
  }
  return ['npm run -s', program, '--', ...argv.map(quoted), ...options].join(' ');
}

interface Spare {
  readonly source: NamedSource;
  /** What the file's name says. */
  readonly kind: string;
  /** Numbers, from 1, of columns of numbers for which no role was found; shortened as they are given away. */
  readonly left: number[];
}

async function spareOf(source: NamedSource, file: number, mapping: Mapping): Promise<Spare> {
  const head = await readFileHead(source, file);
  const isFree = ({ index, role }: Mapping['columns'][number]) =>
    role === 'ignored' && head.columns[index]!.sample.kind === 'number';
  const left = mapping.columns.filter((column) => column.file === file && isFree(column));
  const { kind } = readName(source.name.replace(/\.[^.]*$/, ''));
  return { source, kind, left: left.map(({ index }) => index + 1) };
}

function take(roles: readonly MotionRole[], { source, left }: Spare, isNamed: boolean): string[] {
  return roles.map((role) => `--map ${quoted(`${role}=${isNamed ? `${source.path}:` : ''}${left.shift()}`)}`);
}

/** As a shell takes it for one word. */
function quoted(text: string): string {
  return /^[\w@%+=:,./-]+$/.test(text) ? text : `'${text.replaceAll("'", "'\\''")}'`;
}
