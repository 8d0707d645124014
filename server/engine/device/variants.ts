import type { FireKind } from '../base/decisions.ts';
import { listMounts } from '../base/mount.ts';
import type { NumberSetting, Setting } from '../base/setting.ts';
import { DEG_PER_RAD, RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { DETECTORS, type DetectorId } from '../detect/detectors.ts';
import { SMOOTHING_SETTINGS, type SmoothingSettings, smoothingApplies } from '../filter/smoothing.ts';
import type { Candidate } from '../settings/candidate.ts';
import type { Axis, Cause, SensorPart } from './causes.ts';
import type { Matrix, Setup } from './setup.ts';

/** Something that may be otherwise on the prop, and the setup in which it is. */
export interface Variant {
  readonly cause: Cause;
  readonly setup: Setup;
}

/** A setting that the prop may run instead. */
export interface OtherCandidate {
  readonly name: string;
  readonly candidate: Candidate;
}

/** A decision that comes later than this is no delay any more, but another one. */
const LATE_MS = 100;
const LATE_SAMPLES = 60;
/** A log whose rows come late against what was decided. */
const EARLY_SAMPLES = 5;
const EVERY = [2, 3, 4] as const;
const RATE_PARTS = [0.25, 0.5, 2, 4] as const;
const CUTOFFS_HZ = [3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 25, 30, 35, 40, 50, 60, 80, 100, 150, 200] as const;
const LENGTHS_MS = [5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200] as const;
/** Force in m/s² or mg, rates in rad/s or mdeg/s, and ranges of the sensor taken for half, twice and four times theirs. */
const FORCE_FACTORS = [
  STANDARD_GRAVITY_MPS2,
  1 / STANDARD_GRAVITY_MPS2,
  1000,
  0.001,
  2,
  0.5,
  4,
  0.25,
] as const;
const RATE_FACTORS = [RAD_PER_DEG, DEG_PER_RAD, 1000, 0.001, 2, 0.5, 4, 0.25] as const;
const SETTING_FACTORS = [
  0.25, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.1, 1.2, 1.35, 1.5, 1.75, 2, 2.5, 3, 4,
] as const;
const SETTING_MS = [0, 5, 10, 20, 30, 40, 60, 80, 100, 120, 150, 200, 250, 300, 400, 500, 800] as const;
const AXES: readonly Axis[] = ['x', 'y', 'z'];
const PARTS: readonly SensorPart[] = ['gyro', 'accel', 'both'];

/**
 * All that is tried, each of them alone: one thing more is otherwise than in `base`. Simplest first.
 * @param rateHz  of the log
 * @param detectors  whose settings can have to do with it
 * @param silent  what never fires on the prop, though it does on the bench
 */
export function listVariants(
  base: Setup,
  rateHz: number,
  detectors: readonly DetectorId[],
  silent: readonly FireKind[],
  others: readonly OtherCandidate[],
): Variant[] {
  return [
    ...lateVariants(base, rateHz),
    ...rateVariants(base, rateHz),
    ...smoothings(base.candidate.smoothing, rateHz).map((smoothing) => smoothed(base, smoothing)),
    ...axisVariants(base),
    ...unitVariants(base),
    { cause: { kind: 'noBias' }, setup: { ...base, hasBias: false } },
    ...others.map(
      ({ name, candidate }): Variant => ({
        cause: { kind: 'candidate', name },
        setup: { ...base, candidate },
      }),
    ),
    ...detectors.flatMap((id) => settingVariants(base, id)),
    ...silent.map(
      (fires): Variant => ({
        cause: { kind: 'silent', fires },
        setup: { ...base, silent: [...base.silent, fires] },
      }),
    ),
  ];
}

/** The same cause with another number; null where it has none, or that number makes no sense. */
export function withNumber(base: Setup, cause: Cause, value: number): Variant | null {
  if (cause.kind === 'smoothing') {
    const { smoothing } = cause;
    const isWindow = smoothing.kind === 'movingAverage' || smoothing.kind === 'median';
    return smoothed(base, { ...smoothing, ...(isWindow ? { lengthMs: value } : { cutoffHz: value }) });
  }
  if (cause.kind !== 'setting') return null;
  const [group, name] = cause.path.split('.') as [DetectorId, string];
  return withSetting(base, group, name, value);
}

function lateVariants(base: Setup, rateHz: number): Variant[] {
  const most = Math.min(LATE_SAMPLES, Math.ceil((LATE_MS * rateHz) / 1000));
  return Array.from({ length: most + EARLY_SAMPLES + 1 }, (_, i) => i - EARLY_SAMPLES)
    .filter((samples) => samples !== 0)
    .map((samples) => ({
      cause: { kind: 'late', samples, ms: (1000 * samples) / rateHz },
      setup: { ...base, lateSamples: base.lateSamples + samples },
    }));
}

function rateVariants(base: Setup, rateHz: number): Variant[] {
  const thinner = EVERY.flatMap((every) =>
    Array.from(
      { length: every },
      (_, phase): Variant => ({
        cause: { kind: 'everyNth', every, phase, rateHz: rateHz / every },
        setup: { ...base, every, phase },
      }),
    ),
  );
  const miscounted = RATE_PARTS.map(
    (ratePart): Variant => ({
      cause: { kind: 'countedAt', rateHz: rateHz * ratePart, worksAtHz: rateHz },
      setup: { ...base, ratePart },
    }),
  );
  return [...thinner, ...miscounted];
}

function smoothed(base: Setup, smoothing: SmoothingSettings): Variant {
  return { cause: { kind: 'smoothing', smoothing }, setup: withCandidate(base, { smoothing }) };
}

function smoothings(own: SmoothingSettings, rateHz: number): SmoothingSettings[] {
  const orders = SMOOTHING_SETTINGS.order.choices.map(([order]) => order);
  const all: SmoothingSettings[] = [
    { ...own, kind: 'none' },
    ...CUTOFFS_HZ.flatMap((cutoffHz) => [
      { ...own, kind: 'firstOrder' as const, cutoffHz },
      ...orders.map((order) => ({ ...own, kind: 'butterworth' as const, order, cutoffHz })),
    ]),
    ...LENGTHS_MS.flatMap((lengthMs) => [
      { ...own, kind: 'movingAverage' as const, lengthMs },
      { ...own, kind: 'median' as const, lengthMs },
    ]),
  ];
  const isOwn = (one: SmoothingSettings) => JSON.stringify(one) === JSON.stringify(own);
  const isAlike = ({ kind, order }: SmoothingSettings) => kind === own.kind && order === own.order;
  return all
    .filter((one) => !isOwn(one) && (one.kind === 'none' || smoothingApplies(one, rateHz)))
    .sort((a, b) => Number(isAlike(b)) - Number(isAlike(a)));
}

function axisVariants(base: Setup): Variant[] {
  const mirrored = PARTS.flatMap((part) =>
    AXES.map((axis): Variant => {
      const matrix = matrixOf((row, column) => (row !== column ? 0 : AXES[row] === axis ? -1 : 1));
      return { cause: { kind: 'mirrored', part, axis }, setup: withMatrix(base, part, matrix) };
    }),
  );
  const pairs = [
    ['x', 'y'],
    ['x', 'z'],
    ['y', 'z'],
  ] as const;
  const swapped = PARTS.flatMap((part) =>
    pairs.map((axes): Variant => {
      const matrix = matrixOf((row, column) => Number(AXES[swap(axes, row)] === AXES[column]));
      return { cause: { kind: 'swapped', part, axes }, setup: withMatrix(base, part, matrix) };
    }),
  );
  const { mount } = base.calibration;
  const turned = listMounts()
    .filter(({ tip, side }) => tip !== mount.tip || side !== mount.side)
    .map(
      (other): Variant => ({
        cause: { kind: 'mount', mount: other },
        setup: { ...base, calibration: { ...base.calibration, mount: other } },
      }),
    );
  return [...mirrored, ...swapped, ...turned];
}

function swap([a, b]: readonly [Axis, Axis], row: number): number {
  if (AXES[row] === a) return AXES.indexOf(b);
  return AXES[row] === b ? AXES.indexOf(a) : row;
}

function unitVariants(base: Setup): Variant[] {
  const of = (part: 'gyro' | 'accel', factors: readonly number[]) =>
    factors.map(
      (factor): Variant => ({
        cause: { kind: 'unit', part, factor },
        setup: withMatrix(
          base,
          part,
          matrixOf((row, column) => (row === column ? factor : 0)),
        ),
      }),
    );
  return [...of('accel', FORCE_FACTORS), ...of('gyro', RATE_FACTORS)];
}

function settingVariants(base: Setup, group: DetectorId): Variant[] {
  return Object.entries<Setting>(DETECTORS[group].settings).flatMap(([name, setting]) => {
    const own = (base.candidate[group] as Readonly<Record<string, number | string>>)[name]!;
    const values =
      setting.kind === 'number' ? valuesOf(setting, own as number) : setting.choices.map(([v]) => v);
    return values.flatMap((value) => (value === own ? [] : (withSetting(base, group, name, value) ?? [])));
  });
}

function valuesOf({ unit, max, min }: NumberSetting, own: number): number[] {
  const values = [
    ...SETTING_FACTORS.map((factor) => Number((factor * own).toPrecision(3))),
    ...(unit === 'ms' ? SETTING_MS : []),
  ];
  return [...new Set(values)].filter((value) => value >= min && value <= max);
}

function withSetting(base: Setup, group: DetectorId, name: string, value: number | string): Variant | null {
  const setting = (DETECTORS[group].settings as Readonly<Record<string, Setting>>)[name]!;
  if (setting.kind === 'number' && !(Number(value) >= setting.min && Number(value) <= setting.max))
    return null;
  return {
    cause: { kind: 'setting', path: `${group}.${name}`, value },
    setup: withCandidate(base, { [group]: { ...base.candidate[group], [name]: value } }),
  };
}

function withCandidate(base: Setup, change: Partial<Candidate>): Setup {
  return { ...base, candidate: { ...base.candidate, ...change } };
}

function withMatrix(base: Setup, part: SensorPart, matrix: Matrix): Setup {
  return {
    ...base,
    ...(part === 'accel' ? {} : { gyro: product(matrix, base.gyro) }),
    ...(part === 'gyro' ? {} : { accel: product(matrix, base.accel) }),
  };
}

function matrixOf(entry: (row: number, column: number) => number): Matrix {
  return Array.from({ length: 9 }, (_, k) => entry(Math.floor(k / 3), k % 3));
}

function product(a: Matrix, b: Matrix | null): Matrix {
  if (b === null) return a;
  return matrixOf((row, column) =>
    [0, 1, 2].reduce((sum, k) => sum + a[3 * row + k]! * b[3 * k + column]!, 0),
  );
}
