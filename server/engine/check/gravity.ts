import type { AxisFinding, GravityTest } from '../calibrate/gravityTest.ts';
import { figure, percent } from './figures.ts';
import { axesWords, listed, untestedWords } from './gravityWords.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

const AXES = ['x', 'y', 'z'] as const;
const DISTRUST = 'every speed, twist and thrust';
const UNPROVEN = 'units and axes, as nothing proves them';
/** Known no better, a scale is not known. */
const SCALE_GOOD = { low: 0.9, high: 1.1 };
const TOO_SHORT = 'Not tested: it takes four seconds without a gap, of 4 samples a second or more.';
const MEND =
  'Correct the columns of the gyro, or of the accelerometer, in the preview, or the signs in the logger, and add the file again.';

/**
 * Whether gyro and accelerometer agree on units, signs and order of their axes, and which axes the take says nothing of.
 * @param isGravityMissing  the acceleration was logged with gravity taken out: there is nothing to test by
 */
export function checkGravity(test: GravityTest, isGravityMissing = false): CheckLine {
  if (isGravityMissing)
    return cautions(
      'gravity',
      'Not tested: the acceleration comes without gravity, by which units and axes are tested.',
      'Log the accelerometer itself, not “linear acceleration”.',
      UNPROVEN,
    );
  switch (test.verdict) {
    case 'ok':
      return provenLine(test);
    case 'tooLittle': {
      const why = test.pairs === 0 ? TOO_SHORT : `Not tested. ${untestedWords(test.axes)}`;
      return cautions('gravity', why, adviceFor(test.axes), UNPROVEN);
    }
    case 'along':
      return cautions(
        'gravity',
        'Not tested: the force stays along the sensor however the prop tilts by its rates, as under a drone or on a pendulum, so it does not show which way is up. (A gyro whose axes are mixed up may look alike.)',
        adviceFor(test.axes),
        UNPROVEN,
      );
    case 'unclear':
      return cautions(
        'gravity',
        `Not proven: turned by the gyro in any unit and order of axes, gravity does not stay where it is (${percent(test.fit)} explained at best).`,
        'Add slow turns to the take: strong pushes hide gravity. If it has them, accelerometer and gyro may be from different moments: look at their clocks.',
        UNPROVEN,
      );
    case 'unit':
      return fails(
        'gravity',
        `The gyro’s unit is wrong: ${test.slope! > 1 ? 'rad/s were read as °/s' : '°/s were read as rad/s'}${slopeWords(test)}.`,
        'Correct the gyro’s unit in the preview and add the file again.',
        DISTRUST,
      );
    case 'scale':
      return fails(
        'gravity',
        `${scaleWords(test)}${slopeWords(test)}.`,
        'Correct the gyro’s sensitivity or range in the preview and add the file again.',
        DISTRUST,
      );
    case 'disagree':
      return fails(
        'gravity',
        sentences(
          'As logged, gyro and accelerometer contradict each other: a unit, a sign or the order of axes is wrong, and this take does not tell which.',
          untestedWords(test.axes),
        ),
        `${MEND} ${adviceFor(test.axes)}`,
        DISTRUST,
      );
    case 'axes':
      return fails(
        'gravity',
        sentences(`${axesWords(test)}${slopeWords(test)}.`, untestedWords(test.axes)),
        MEND,
        DISTRUST,
      );
  }
}

function provenLine(test: GravityTest): CheckLine {
  const proven = AXES.filter((_, k) => test.axes[k]!.state === 'proven');
  const said = `Turned by the gyro, gravity stays where it is${slopeWords(test)}: unit and sign of ${listed(proven)} ${proven.length === 1 ? 'is' : 'are'} proven.`;
  const untested = AXES.filter((_, k) => test.axes[k]!.state === 'untested');
  if (untested.length === 0 && isScaleOpen(test))
    return cautions(
      'gravity',
      `${said} The gyro’s scale is not known to a tenth.`,
      'Once in a take, turn the prop slowly by half a turn and back about each of the sensor’s axes in turn.',
      'the gyro’s scale',
    );
  if (untested.length === 0) return passes('gravity', said);
  return cautions(
    'gravity',
    sentences(said, untestedWords(test.axes)),
    adviceFor(test.axes),
    `turns about the sensor’s ${listed(untested)}, as nothing proves their sign`,
  );
}

function isScaleOpen({ low, high }: GravityTest): boolean {
  return low === null || high === null || low < SCALE_GOOD.low || high > SCALE_GOOD.high;
}

function sentences(...parts: readonly string[]): string {
  return parts.filter((part) => part !== '').join(' ');
}

function adviceFor(axes: readonly AxisFinding[]): string {
  const untested = AXES.filter((_, k) => axes[k]!.state === 'untested');
  const each =
    untested.length === 1 ? `the sensor’s ${untested[0]}` : `the sensor’s ${listed(untested)} in turn`;
  return `Once in a take, turn the prop by a quarter turn and back about ${each}, slowly, while that axis lies level.`;
}

function scaleWords({ slope, axes }: GravityTest): string {
  const off = AXES.filter((_, k) => axes[k]!.state === 'scale');
  if (slope !== null && (off.length === 0 || off.length === 3))
    return `The gyro reads ${slope > 1 ? 'too little' : 'too much'}: its rates would have to be ${figure(slope)} times as large`;
  const each = off.map((axis) => {
    const { slope: one } = axes[AXES.indexOf(axis)]!;
    return `its ${axis} would have to be ${figure(one!.slope)} times as large (about 95 %: ${figure(one!.low)} to ${figure(one!.high)})`;
  });
  return `The gyro’s ${listed(off)} ${off.length === 1 ? 'has another scale' : 'have other scales'} than the rest: ${each.join(', ')}`;
}

function slopeWords({ slope, low, high, fit }: GravityTest): string {
  if (slope === null || low === null || high === null) return '';
  return ` (slope ${figure(slope)}, at least 95 %: ${figure(low)} to ${figure(high)}, ${percent(fit)} explained)`;
}
