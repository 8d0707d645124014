import type { AxisFinding, GravityTest } from '../calibrate/gravityTest.ts';
import { figure } from './figures.ts';

/** Turned less than this in all about an axis, the take says nothing of it. */
const SPUN_LEAST_DEG = 60;
/** A turn that takes gravity less than this part of the way goes about an upright axis. */
const UPRIGHT_PART = 0.5;
const AXES = ['x', 'y', 'z'] as const;
type Axis = (typeof AXES)[number];

/** Which of the two sensors' axes do not go together, and what would look the same. */
export function axesWords({ gyroAxes, axes }: Pick<GravityTest, 'gyroAxes' | 'axes'>): string {
  const off = AXES.filter((axis, k) => gyroAxes[k] !== `+${axis}` && axes[k]!.state !== 'untested');
  if (off.every((axis) => gyroAxes[AXES.indexOf(axis)] === `-${axis}`))
    return mirroredWords(
      off,
      axes.some(({ state }) => state === 'untested'),
    );
  const pairs = off.map(
    (axis) => `${axis} turns with the gyro’s ${gyroAxes[AXES.indexOf(axis)]!.replace('-', '−')}`,
  );
  return `The gyro’s axes are swapped or mirrored against the accelerometer’s: the accelerometer’s ${listed(pairs)}`;
}

function mirroredWords(off: readonly Axis[], isOpen: boolean): string {
  const others = AXES.filter((axis) => !off.includes(axis));
  const said = `The gyro’s ${listed(off)} ${off.length === 1 ? 'axis is' : 'axes are'} mirrored against the accelerometer’s`;
  return `${said} (or, which looks the same, ${alike(off.length, others, isOpen)})`;
}

function alike(count: number, others: readonly Axis[], isOpen: boolean): string {
  if (count === 3) return 'all three of the accelerometer, or one axis of both sensors: a left-handed frame';
  return isOpen ? 'one or two axes of the accelerometer are' : `the accelerometer’s ${listed(others)}`;
}

/** Of which axes the take says nothing, and why. Empty where it tells of all. */
export function untestedWords(axes: readonly AxisFinding[]): string {
  const untested = AXES.filter((_, k) => axes[k]!.state === 'untested');
  const of = (axis: Axis): AxisFinding => axes[AXES.indexOf(axis)]!;
  const resting = untested.filter((axis) => of(axis).spunDeg < SPUN_LEAST_DEG);
  const turning = untested.filter((axis) => of(axis).spunDeg >= SPUN_LEAST_DEG);
  const isUpright = (axis: Axis) => of(axis).turnedDeg < UPRIGHT_PART * of(axis).spunDeg;
  const upright = turning.filter(isUpright);
  const mixed = turning.filter((axis) => !isUpright(axis));
  const spun = (axis: Axis) => `${figure(of(axis).spunDeg)}° about ${axis}`;
  const said: string[] = [];
  if (resting.length > 0)
    said.push(`${isNot(resting)}: the prop hardly turns about ${resting.length === 1 ? 'it' : 'them'}.`);
  if (upright.length > 0)
    said.push(
      `${isNot(upright)}: the prop turned ${listed(upright.map(spun))}, but mostly while ${upright.length === 1 ? 'it' : 'that axis'} stood upright, where gravity does not show a turn.`,
    );
  if (mixed.length > 0)
    said.push(
      `${isNot(mixed)}: the prop turned ${listed(mixed.map(spun))}, too little or too much together with other turns to tell ${mixed.length === 1 ? 'its' : 'their'} sign.`,
    );
  return said.join(' ');
}

function isNot(axes: readonly Axis[]): string {
  return `${listed(axes)} ${axes.length === 1 ? 'is' : 'are'} not tested`;
}

export function listed(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}
