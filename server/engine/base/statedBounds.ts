/** Bounds of a number that a user states; both ends are allowed. */
export interface Bounds {
  readonly min: number;
  readonly max: number;
  /** '' where the number has none. */
  readonly unit: 'm' | 'ms' | 'Hz' | '';
}

/** The same for page, server and command line. */
export const STATED_BOUNDS = {
  leverArmM: { min: -2, max: 2, unit: 'm' },
  bladeLengthM: { min: 0.1, max: 3, unit: 'm' },
  accelScale: { min: 0.5, max: 2, unit: '' },
} as const satisfies Readonly<Record<string, Bounds>>;

/** Whether a number keeps to its bounds; NaN never does. */
export function isWithin(value: number, { min, max }: Pick<Bounds, 'min' | 'max'>): boolean {
  return value >= min && value <= max;
}
