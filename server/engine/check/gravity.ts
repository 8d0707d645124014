import type { GravityTest } from '../calibrate/gravityTest.ts';
import type { AxisName } from '../mount.ts';
import { figure, percent } from './figures.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

/** Turned less than this in all about an axis, the take says nothing of it. */
export const TURNED_LEAST_DEG = 60;
const AXES = ['x', 'y', 'z'] as const;
const DISTRUST = 'every speed, twist and thrust';

/** Whether gyro and accelerometer agree on units, signs and order of their axes. */
export function checkGravity(test: GravityTest): CheckLine {
  switch (test.verdict) {
    case 'ok':
      return passes(
        'gravity',
        `Turned by the gyro, gravity stays where it is: ${slopeWords(test)}.${untestedWords(test)}`,
      );
    case 'tooLittle':
      return cautions(
        'gravity',
        'Not tested: gravity is hardly turned about here.',
        'Turn the prop slowly about each axis, a quarter turn or more, once in a take.',
        'units and axes, as nothing proves them',
      );
    case 'unclear':
      return cautions(
        'gravity',
        `Not proven: turned by the gyro in any unit and order of axes, gravity does not stay where it is (${percent(test.fit)} explained at best).`,
        'Add slow turns to the take. If it has them, accelerometer and gyro may be from different moments: look at their clocks.',
        'units and axes, as nothing proves them',
      );
    case 'unit':
      return fails(
        'gravity',
        `The gyro’s unit is wrong: ${test.slope! > 1 ? 'rad/s were read as °/s' : '°/s were read as rad/s'} (${slopeWords(test)}).`,
        'Correct the gyro’s unit in the preview and add the file again.',
        DISTRUST,
      );
    case 'scale':
      return fails(
        'gravity',
        `The gyro reads ${test.slope! > 1 ? 'too little' : 'too much'}: its rates would have to be ${figure(test.slope!)} times as large (${slopeWords(test)}).`,
        'Correct the gyro’s sensitivity or range in the preview and add the file again.',
        DISTRUST,
      );
    case 'axes':
      return fails(
        'gravity',
        `${axesWords(test.gyroAxes)} (${slopeWords(test)}).${untestedWords(test)}`,
        'Correct the gyro’s columns in the preview, or the signs in the logger, and add the file again.',
        DISTRUST,
      );
  }
}

function slopeWords({ slope, low, high, fit }: GravityTest): string {
  return `slope ${figure(slope!)}, 95 % ${figure(low!)} to ${figure(high!)}, ${percent(fit)} explained`;
}

/** The gyro's axes that do not go with the accelerometer's of the same name. */
function axesWords(gyroAxes: readonly AxisName[]): string {
  const off = AXES.filter((axis, k) => gyroAxes[k] !== `+${axis}`);
  if (off.every((axis) => gyroAxes[AXES.indexOf(axis)] === `-${axis}`))
    return `The gyro’s ${listed(off)} ${off.length === 1 ? 'axis is' : 'axes are'} mirrored against the accelerometer’s`;
  const pairs = off.map(
    (axis) => `${axis} turns with the gyro’s ${gyroAxes[AXES.indexOf(axis)]!.replace('-', '−')}`,
  );
  return `The gyro’s axes are swapped or mirrored: the accelerometer’s ${listed(pairs)}`;
}

function listed(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}

function untestedWords({ turnedDeg }: GravityTest): string {
  const little = AXES.filter((_, k) => turnedDeg[k]! < TURNED_LEAST_DEG);
  return little.length === 0 ? '' : ` Too little turns about ${listed(little)} to say anything of that.`;
}
