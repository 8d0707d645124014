import type { AxisName } from '../mount.ts';
import type { GravityTest } from './gravityTest.ts';

/** An axis that moved gravity by less than this was hardly tried. */
const TRIED_DEG = 90;
const NAMES = ['x', 'y', 'z'] as const;

/** What the test found, in one or two sentences: what is wrong and what to do. */
export function describeGravityTest(test: GravityTest): string {
  const times = test.slope === null ? '' : figure(test.slope);
  switch (test.verdict) {
    case 'ok':
      return `Turned by the gyro, gravity stays in place: unit and axes fit, slope ${times}.${untried(test)}`;
    case 'unit':
      return test.slope! > 1
        ? 'The rates are in radians per second but read as degrees per second: state the unit.'
        : 'The rates are in degrees per second but read as radians per second: state the unit.';
    case 'scale':
      return `Gravity turns ${times} times as far as the rates say: check the gyro's range or codes per degree.`;
    case 'axes':
      return `The gyro's axes are not the accelerometer's: ${axesText(test.gyroAxes)}. Check the order and signs of the columns.`;
    case 'unclear':
      return 'No unit, sign or order of the gyro explains how the force moves: parts may be cut out of the log, or the sensor travelled.';
    case 'tooLittle':
      return 'The prop hardly turns gravity about in this take: record a few slow turns about each axis.';
    default:
      return assertNever(test.verdict);
  }
}

function axesText(gyroAxes: readonly AxisName[]): string {
  return gyroAxes
    .map((name, k) => `${name} stands for ${NAMES[k]}`)
    .filter((_, k) => gyroAxes[k] !== `+${NAMES[k]}`)
    .join(', ');
}

function untried({ turnedDeg }: GravityTest): string {
  const names = NAMES.filter((_, k) => turnedDeg[k]! < TRIED_DEG);
  return names.length === 0 ? '' : ` Hardly tried: ${names.join(' and ')}.`;
}

/** Three digits. */
function figure(value: number): string {
  return value >= 100 ? value.toFixed(0) : value.toPrecision(3);
}

function assertNever(value: never): never {
  throw new TypeError(`unknown verdict ${String(value)}`);
}
