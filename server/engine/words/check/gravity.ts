import type { GravityTest } from '../../calibrate/gravityTest.ts';
import { AXES, type Axis, type GravityLine, type UntestedAxis } from '../../check/gravity.ts';
import { figure, listed, percent, plural, trueMinus } from '../count.ts';
import type { LineWords } from './lineWords.ts';

const DISTRUST = 'every speed, twist and thrust';
const UNPROVEN = 'units and axes, as nothing proves them';
const MEND =
  'Correct the columns of the gyro, or of the accelerometer, in the preview, or the signs in the logger, and add the file again.';

export function gravityWords({ cause, test, untested }: GravityLine): LineWords {
  const advice = turnsAsked(untested);
  const notTested = untestedWords(untested);
  switch (cause) {
    case 'noGravity':
      return [
        'Not tested: the acceleration comes without gravity, by which units and axes are tested.',
        'Log the accelerometer itself, not “linear acceleration”.',
        UNPROVEN,
      ];
    case 'ok':
      return [
        `${provenWords(test)}${notTested}`,
        advice,
        `turns about the sensor’s ${listed(untested.map(({ axis }) => axis))}, as nothing proves their sign`,
      ];
    case 'scaleOpen':
      return [
        `${provenWords(test)} The gyro’s scale is not known to a tenth.`,
        'Once in a take, turn the prop slowly by half a turn and back about each of the sensor’s axes in turn.',
        'the gyro’s scale',
      ];
    case 'tooLittle': {
      const isTooShort = test.pairs === 0;
      return [
        isTooShort
          ? 'Not tested: it takes four seconds without a gap, of 4 samples a second or more.'
          : `Not tested.${notTested}`,
        advice,
        UNPROVEN,
      ];
    }
    case 'along':
      return [
        'Not tested: the force stays along the sensor however the prop tilts by its rates, as under a drone or on a pendulum, so it does not show which way is up. (A gyro whose axes are mixed up may look alike.)',
        advice,
        UNPROVEN,
      ];
    case 'unclear':
      return [
        `Not proven: turned by the gyro in any unit and order of axes, gravity does not stay where it is (${percent(test.fit)} explained at best).`,
        'Add slow turns to the take: strong pushes hide gravity. If it has them, accelerometer and gyro may be from different moments: look at their clocks.',
        UNPROVEN,
      ];
    case 'unit':
      return [
        `The gyro’s unit is wrong: ${test.slope! > 1 ? 'rad/s were read as °/s' : '°/s were read as rad/s'}${slopeWords(test)}.`,
        'Correct the gyro’s unit in the preview and add the file again.',
        DISTRUST,
      ];
    case 'scale':
      return [
        `${scaleWords(test)}${slopeWords(test)}.`,
        'Correct the gyro’s sensitivity or range in the preview and add the file again.',
        DISTRUST,
      ];
    case 'disagree':
      return [
        `As logged, gyro and accelerometer contradict each other: a unit, a sign or the order of axes is wrong, and this take does not tell which.${notTested}`,
        `${MEND} ${advice}`,
        DISTRUST,
      ];
    case 'axes':
      return [`${axesWords(test, untested.length > 0)}${slopeWords(test)}.${notTested}`, MEND, DISTRUST];
  }
}

function provenWords(test: GravityTest): string {
  const proven = AXES.filter((_, k) => test.axes[k]!.state === 'proven');
  return `Turned by the gyro, gravity stays where it is${slopeWords(test)}: unit and sign of ${listed(proven)} ${plural(proven.length, 'is', 'are')} proven.`;
}

function turnsAsked(untested: readonly UntestedAxis[]): string {
  const each = `${listed(untested.map(({ axis }) => axis))}${untested.length === 1 ? '' : ' in turn'}`;
  return `Once in a take, turn the prop by a quarter turn and back about the sensor’s ${each}, slowly, while that axis lies level.`;
}

function scaleWords({ slope, axes }: GravityTest): string {
  const off = AXES.filter((_, k) => axes[k]!.state === 'scale');
  if (slope !== null && (off.length === 0 || off.length === 3))
    return `The gyro reads ${slope > 1 ? 'too little' : 'too much'}: its rates would have to be ${figure(slope)} times as large`;
  const each = off.map((axis) => {
    const { slope: one } = axes[AXES.indexOf(axis)]!;
    return `its ${axis} would have to be ${figure(one!.slope)} times as large (about 95 %: ${figure(one!.low)} to ${figure(one!.high)})`;
  });
  return `The gyro’s ${listed(off)} ${plural(off.length, 'has another scale', 'have other scales')} than the rest: ${each.join(', ')}`;
}

function slopeWords({ slope, low, high, fit }: GravityTest): string {
  if (slope === null || low === null || high === null) return '';
  return ` (slope ${figure(slope)}, at least 95 %: ${figure(low)} to ${figure(high)}, ${percent(fit)} explained)`;
}

/** The axes in which the two sensors disagree, and what would look the same. */
function axesWords({ gyroAxes, axes }: GravityTest, isOpen: boolean): string {
  const off = AXES.filter((axis, k) => gyroAxes[k] !== `+${axis}` && axes[k]!.state !== 'untested');
  const of = (axis: Axis): string => gyroAxes[AXES.indexOf(axis)]!;
  if (off.every((axis) => of(axis) === `-${axis}`)) {
    const mirrored = plural(off.length, 'axis is', 'axes are');
    return `The gyro’s ${listed(off)} ${mirrored} mirrored against the accelerometer’s (or, which looks the same, ${alike(off, isOpen)})`;
  }
  const pairs = off.map((axis) => `${axis} turns with the gyro’s ${trueMinus(of(axis))}`);
  return `The gyro’s axes are swapped or mirrored against the accelerometer’s: the accelerometer’s ${listed(pairs)}`;
}

function alike(mirrored: readonly Axis[], isOpen: boolean): string {
  if (mirrored.length === 3)
    return 'all three of the accelerometer, or one axis of both sensors: a left-handed frame';
  const others = AXES.filter((axis) => !mirrored.includes(axis));
  return isOpen ? 'one or two axes of the accelerometer are' : `the accelerometer’s ${listed(others)}`;
}

/** The axes that are not tested, and why; each sentence follows a space. Empty where all are tested. */
function untestedWords(untested: readonly UntestedAxis[]): string {
  const said = (why: UntestedAxis['why'], reason: (n: number, turned: string) => string): string => {
    const found = untested.filter((one) => one.why === why);
    if (found.length === 0) return '';
    const turned = listed(found.map(({ axis, spunDeg }) => `${figure(spunDeg)}° about ${axis}`));
    const axes = `${listed(found.map(({ axis }) => axis))} ${plural(found.length, 'is', 'are')}`;
    return ` ${axes} not tested: the prop ${reason(found.length, turned)}.`;
  };
  return [
    said('resting', (n) => `hardly turns about ${plural(n, 'it', 'them')}`),
    said('upright', (n, turned) => {
      return `turned ${turned}, but mostly while ${plural(n, 'it', 'that axis')} stood upright, where gravity does not show a turn`;
    }),
    said('mixed', (n, turned) => {
      return `turned ${turned}, too little or too much together with other turns to tell ${plural(n, 'its', 'their')} sign`;
    }),
  ].join('');
}
