import type { AxisFinding, GravityTest, GravityVerdict } from '../calibrate/gravityTest.ts';
import type { Line } from './line.ts';

export const AXES = ['x', 'y', 'z'] as const;
export type Axis = (typeof AXES)[number];

/** A scale whose interval is wider than this is not known. */
const SCALE_GOOD = { low: 0.9, high: 1.1 };
/** With less than this turned about an axis in all, the take says nothing of it. */
const SPUN_LEAST_DEG = 60;
/** Where turns tilt gravity by less than this share of their angle, the axis stood upright. */
const UPRIGHT_PART = 0.5;

/** Whether gyro and accelerometer agree on units, signs and order of their axes, and which axes the take says nothing of. */
export interface GravityLine extends Line<'gravity'> {
  /**
   * The test's verdict; 'noGravity' where there is no gravity to test by, 'scaleOpen' where all axes are proven and the
   * gyro's scale is not known.
   */
  readonly cause: GravityVerdict | 'noGravity' | 'scaleOpen';
  readonly test: GravityTest;
  readonly untested: readonly UntestedAxis[];
}

export interface UntestedAxis {
  readonly axis: Axis;
  readonly spunDeg: number;
  /** It hardly turned, it turned while it stood upright, or its turns are too small or too mixed with others. */
  readonly why: 'resting' | 'upright' | 'mixed';
}

const STATES: Readonly<Record<GravityVerdict, Line<'gravity'>['state']>> = {
  ok: 'pass',
  tooLittle: 'caution',
  along: 'caution',
  unclear: 'caution',
  unit: 'fail',
  scale: 'fail',
  disagree: 'fail',
  axes: 'fail',
};

/** @param isGravityMissing  the acceleration was logged with gravity taken out: there is nothing to test by */
export function checkGravity(test: GravityTest, isGravityMissing = false): GravityLine {
  const untested = AXES.flatMap((axis, k) => {
    const { state, spunDeg } = test.axes[k]!;
    return state === 'untested' ? [{ axis, spunDeg, why: whyUntested(test.axes[k]!) }] : [];
  });
  const line = { id: 'gravity', test, untested } as const;
  if (isGravityMissing) return { ...line, state: 'caution', cause: 'noGravity' };
  if (test.verdict !== 'ok') return { ...line, state: STATES[test.verdict], cause: test.verdict };
  if (untested.length > 0) return { ...line, state: 'caution', cause: 'ok' };
  return isScaleOpen(test)
    ? { ...line, state: 'caution', cause: 'scaleOpen' }
    : { ...line, state: 'pass', cause: 'ok' };
}

function whyUntested({ spunDeg, turnedDeg }: AxisFinding): UntestedAxis['why'] {
  if (spunDeg < SPUN_LEAST_DEG) return 'resting';
  return turnedDeg < UPRIGHT_PART * spunDeg ? 'upright' : 'mixed';
}

function isScaleOpen({ low, high }: GravityTest): boolean {
  return low === null || high === null || low < SCALE_GOOD.low || high > SCALE_GOOD.high;
}
