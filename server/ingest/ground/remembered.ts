import type { Mapping, Overrides, RoleOverride } from './types.ts';

/** How one file looks, whatever it holds: columns by header, or their number where there is no header. */
export interface FileShape {
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  readonly columns: readonly string[] | number;
}

/** What the user corrected in the guess for files of one shape. */
export interface RememberedMapping {
  readonly id: string;
  /** One for each file of the take. */
  readonly shape: readonly FileShape[];
  readonly corrections: Overrides;
  /** The file for which it was set, and when (ISO 8601). */
  readonly fileName: string;
  readonly savedAt: string;
}

/** What the preview may draw on; `apply` is off once the user has seen what is remembered. */
export interface Memory {
  readonly mappings: readonly RememberedMapping[];
  readonly apply: boolean;
}

export const NO_MEMORY: Memory = { mappings: [], apply: false };

/** Why a stated thing is as it is: `you` now, or what was remembered. */
export type WhyStated = (key: keyof Overrides, role?: RoleOverride) => string;

export const STATED_BY_YOU: WhyStated = () => 'stated by you';

export function shapeOf({ files, columns }: Pick<Mapping, 'files' | 'columns'>): FileShape[] {
  return files.map(({ delimiter, decimal, headerLine, columnCount }, file) => ({
    delimiter,
    decimal,
    columns:
      headerLine === null
        ? columnCount
        : columns
            .filter((column) => column.file === file)
            .sort((a, b) => a.index - b.index)
            .map(({ name }) => name),
  }));
}

/** The same text for the same shape, and for no other. */
export function shapeKey(shape: readonly FileShape[]): string {
  return JSON.stringify(shape.map(({ delimiter, decimal, columns }) => [delimiter, decimal, columns]));
}

export function recall(
  memory: Memory,
  mapping: Pick<Mapping, 'files' | 'columns'>,
): RememberedMapping | null {
  if (memory.mappings.length === 0) return null;
  const key = shapeKey(shapeOf(mapping));
  return memory.mappings.find(({ shape }) => shapeKey(shape) === key) ?? null;
}

/** What was remembered, under what is stated now. */
export function mergeOverrides(remembered: Overrides, stated: Overrides): Overrides {
  const isStated = (one: RoleOverride) => stated.roles?.some((other) => isSameColumn(one, other));
  const roles = [...(remembered.roles ?? []).filter((one) => !isStated(one)), ...(stated.roles ?? [])];
  return { ...remembered, ...stated, ...(roles.length > 0 ? { roles } : {}) };
}

/** Whether anything of what is stated is what was remembered. */
export function isInUse({ corrections }: RememberedMapping, stated: Overrides): boolean {
  const { roles, ...rest } = corrections;
  const keys = Object.keys(rest) as (keyof typeof rest)[];
  return (
    keys.some((key) => isSameData(rest[key], stated[key])) ||
    (roles ?? []).some((one) => stated.roles?.some((other) => isSameData(one, other)))
  );
}

/** "as you set for thumb.csv on 2031-05-02" for what is the same as was remembered. */
export function whyStated(remembered: RememberedMapping | null, stated: Overrides): WhyStated {
  if (!remembered) return STATED_BY_YOU;
  const { corrections, fileName, savedAt } = remembered;
  const recalled = `as you set for ${fileName} on ${savedAt.slice(0, 10)}`;
  return (key, role) => {
    const known = role
      ? corrections.roles?.some((one) => isSameData(one, role))
      : corrections[key] !== undefined && isSameData(corrections[key], stated[key]);
    return known ? recalled : STATED_BY_YOU(key);
  };
}

export function isSameColumn(
  a: { readonly file: number; readonly index: number },
  b: { readonly file: number; readonly index: number },
): boolean {
  return a.file === b.file && a.index === b.index;
}

/** Plain data, whatever the order of its keys. */
export function isSameData(a: unknown, b: unknown): boolean {
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return a === b;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...keys].every((key) =>
    isSameData((a as Record<string, unknown>)[key], (b as Record<string, unknown>)[key]),
  );
}
