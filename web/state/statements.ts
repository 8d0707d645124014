import { type Role, sensorOf } from '../../server/engine/base/columnRoles.ts';
import type { ColumnMapping, Overrides, Preview } from '../../server/http/schemas.ts';

type Place = Pick<ColumnMapping, 'file' | 'index'>;

export function isSameColumn(a: Place, b: Place): boolean {
  return a.file === b.file && a.index === b.index;
}

/** What is stated, with a column's new role or unit on top. */
export function withColumn(
  overrides: Overrides,
  column: Place & { readonly role?: Role },
  { role, unit }: { readonly role: Role; readonly unit: string },
): Overrides {
  const sensor = sensorOf(role);
  // The three columns of a sensor are in one unit.
  if (sensor !== null && unit !== '' && role === column.role)
    return { ...overrides, [`${sensor}Unit`]: unit };
  const others = (overrides.roles ?? []).filter((one) => !isSameColumn(one, column));
  const stated = { file: column.file, index: column.index, role, ...(unit === '' ? {} : { unit }) };
  return { ...overrides, roles: [...others, stated] };
}

/** What is stated, with a column's sign reversed or as it is. */
export function withSign(overrides: Overrides, { file, index }: Place, reversed: boolean): Overrides {
  const { reversed: before = [], ...rest } = overrides;
  const others = before.filter((one) => !isSameColumn(one, { file, index }));
  const now = reversed ? [...others, { file, index }] : others;
  return now.length > 0 ? { ...rest, reversed: now } : rest;
}

/** Three columns that may be the axes of a sensor for which none was found. */
export interface RoleOffer {
  readonly kind: 'accel' | 'gyro';
  readonly columns: readonly ColumnMapping[];
}

/**
 * For each sensor that is missing altogether: the first three columns of numbers that are nothing yet, in each file
 * without a header. Names that say something else are no offer.
 */
export function roleOffers({ mapping, head }: Pick<Preview, 'mapping' | 'head'>): RoleOffer[] {
  const has = (kind: 'accel' | 'gyro') => mapping.columns.some(({ role }) => sensorOf(role) === kind);
  const isFree = ({ role, file, index }: ColumnMapping) =>
    mapping.files[file]!.headerLine === null && role === 'ignored' && isNumber(head[file]?.at(-1)?.[index]);
  const free = mapping.files.map((_, file) =>
    mapping.columns.filter((column) => column.file === file && isFree(column)),
  );
  return (['accel', 'gyro'] as const)
    .filter((kind) => !has(kind))
    .flatMap((kind) => free.map((columns) => ({ kind, columns: columns.slice(0, 3) })))
    .filter(({ columns }) => columns.length === 3);
}

/** What is stated, with an offer taken: its columns are x, y and z. */
export function withOffer(overrides: Overrides, { kind, columns }: RoleOffer): Overrides {
  return columns.reduce(
    (stated, column, axis) =>
      withColumn(
        stated,
        { file: column.file, index: column.index },
        { role: `${kind}${'XYZ'[axis]}` as Role, unit: '' },
      ),
    overrides,
  );
}

function isNumber(cell: string | undefined): boolean {
  return cell !== undefined && cell.trim() !== '' && Number.isFinite(Number(cell.replace(',', '.')));
}
