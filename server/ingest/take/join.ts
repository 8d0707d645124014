import type { MotionRole } from '../../engine/base/columnRoles.ts';
import { LogFormatError } from '../../errors.ts';
import type { Mended } from '../ground/mended.ts';
import { nominalStep, regularStep } from '../ground/steps.ts';
import { clockOffsetUs, type PreparedTable } from './prepare.ts';

/** The six columns on one clock, values as in the files. */
export interface JoinedMotion {
  readonly timeUs: Float64Array;
  readonly columns: ReadonlyMap<MotionRole, Float64Array>;
  /** 1 where a channel is saturated; as long as `timeUs`. */
  readonly mask: Uint8Array;
  /** The file whose clock is kept. */
  readonly base: PreparedTable;
  /** Position of time 0 on the base file's own time axis. */
  readonly startUs: number;
  readonly mended: readonly Mended[];
}

/** Faster by this factor, the other file's rows set the clock. */
const CLEARLY_FASTER = 1.2;
/** Stamps closer than this share of a step are one moment. */
const SAME_MOMENT = 0.02;

/**
 * Brings the rows of two files together by time: those of the file with the rates stay (of the faster file, where
 * one is clearly faster), the other's values are interpolated between neighbours no more than 3 steps apart. Rows
 * without such neighbours are left out.
 * @param masks  saturated rows of each table
 * @throws LogFormatError  where the files have no time in common
 */
export function joinTables(
  gyro: PreparedTable,
  accel: PreparedTable,
  masks: readonly [Uint8Array, Uint8Array],
): JoinedMotion {
  const isAccelBase = CLEARLY_FASTER * regularStep(accel.timeUs) < regularStep(gyro.timeUs);
  const [base, other] = isAccelBase ? [accel, gyro] : [gyro, accel];
  const [baseMask, otherMask] = isAccelBase ? [masks[1], masks[0]] : masks;
  const offsetUs = clockOffsetUs(base, other);
  const names = [base.table.plan.file.name, other.table.plan.file.name] as const;
  if (offsetUs === null) {
    throw new LogFormatError(
      `the clocks of ${names[0]} and ${names[1]} have no common zero: join them before reading`,
    );
  }
  const partners = findPartners(base.timeUs, other.timeUs, offsetUs);
  if (partners.rows.length === 0) {
    throw new LogFormatError(
      `${names[0]} and ${names[1]} have no time in common (they start ${offsetUs / 1e6} s apart)`,
    );
  }
  const startUs = base.timeUs[partners.rows[0]!]!;
  const timeUs = Float64Array.from(partners.rows, (row) => base.timeUs[row]! - startUs);
  const columns = new Map<MotionRole, Float64Array>();
  for (const [role, values] of base.columns)
    columns.set(
      role,
      Float64Array.from(partners.rows, (row) => values[row]!),
    );
  for (const [role, values] of other.columns) columns.set(role, interpolate(values, partners));
  const mask = Uint8Array.from(partners.rows, (row, i) => {
    const left = partners.left[i]!;
    const isMixed = partners.share[i]! > 0;
    return baseMask[row]! | otherMask[left]! | (isMixed ? otherMask[left + 1]! : 0);
  });
  return {
    timeUs,
    columns,
    mask,
    base,
    startUs,
    mended: [howJoined(base, other, offsetUs, partners)],
  };
}

/** For each kept row of the base: its index, the other file's row at or before it, and how far on to the next. */
interface Partners {
  readonly rows: Int32Array;
  readonly left: Int32Array;
  readonly share: Float64Array;
}

function findPartners(baseUs: Float64Array, otherUs: Float64Array, offsetUs: number): Partners {
  const rows: number[] = [];
  const left: number[] = [];
  const share: number[] = [];
  const step = nominalStep(otherUs);
  let j = 0;
  for (let i = 0; i < baseUs.length; ++i) {
    const t = baseUs[i]! - offsetUs;
    while (j + 1 < otherUs.length && otherUs[j + 1]! <= t) ++j;
    const ahead = t - otherUs[j]!;
    const length = j + 1 < otherUs.length ? otherUs[j + 1]! - otherUs[j]! : Infinity;
    if (Math.abs(ahead) <= SAME_MOMENT * step) {
      rows.push(i);
      left.push(j);
      share.push(0);
    } else if (length - ahead <= SAME_MOMENT * step) {
      rows.push(i);
      left.push(j + 1);
      share.push(0);
    } else if (ahead > 0 && length <= 3 * step) {
      rows.push(i);
      left.push(j);
      share.push(ahead / length);
    }
  }
  return { rows: Int32Array.from(rows), left: Int32Array.from(left), share: Float64Array.from(share) };
}

function interpolate(values: Float64Array, { left, share }: Partners): Float64Array {
  const out = new Float64Array(left.length);
  for (let i = 0; i < out.length; ++i) {
    const a = values[left[i]!]!;
    out[i] = share[i] === 0 ? a : a + share[i]! * (values[left[i]! + 1]! - a);
  }
  return out;
}

function howJoined(
  base: PreparedTable,
  other: PreparedTable,
  offsetUs: number,
  { rows, share }: Partners,
): Mended {
  const interpolated = share.filter((part) => part > 0).length;
  if (base.table.plan.file === other.table.plan.file)
    return { kind: 'joinedRows', rows: rows.length, interpolated };
  return {
    kind: 'joinedFiles',
    base: base.table.plan.file.name,
    other: other.table.plan.file.name,
    offsetUs,
    rows: rows.length,
    interpolated,
    lost: base.timeUs.length - rows.length,
    lostAtStart: rows[0]!,
    over: interpolated === 0 ? other.timeUs.length - rows.length : 0,
  };
}
