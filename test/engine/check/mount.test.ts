import { describe, expect, test } from 'vitest';
import { DEFAULT_CALIBRATION, withMount } from '../../../server/engine/calibrate/calibration.ts';
import { assumesMount } from '../../../server/engine/check/checkSignals.ts';
import { axisShares } from '../../../server/engine/check/lever.ts';
import { assumedMountText, keptMountText, otherAxesText } from '../../../server/engine/words/mount.ts';
import { check, lineOf, sensor, take } from './checkedTakes.ts';

const X = DEFAULT_CALIBRATION.mount;
/** Swings so gentle that they do not show where the blade is. */
const GENTLE = take({ peakDps: 60 });

describe('a take whose mount nobody has stated', () => {
  const assumed = check(GENTLE.log);

  test('assumes it where the swings do not prove it, and says what rests on that', () => {
    expect(assumesMount(assumed)).toBe(true);
    const { state, finding, advice, distrust } = lineOf(assumed, 'lever');
    expect(state).toBe('caution');
    expect(finding).toContain('Nobody has said which way the blade points: the sensor’s +x is taken.');
    expect(advice).toContain('Say on the calibration card which way the blade points.');
    expect(distrust).toContain('swing speed, and with it the guard, as the mount is assumed');
    expect(assumed.verdict).toBe('care');
  });

  test('assumes it no longer once somebody states the very axis that was taken', () => {
    const stated = check(GENTLE.log, { calibration: withMount(DEFAULT_CALIBRATION, X) });
    expect(assumesMount(stated)).toBe(false);
    expect(lineOf(stated, 'lever').finding).not.toContain('Nobody has said');
  });

  test('has it proven by swings that show the blade there', () => {
    expect(assumesMount(check(take().log))).toBe(false);
  });

  test('assumes it where the swings show the blade elsewhere', () => {
    const turned = { ...sensor(), mount: { tip: '+z', side: '+x' } } as const;
    const checked = check(take({ sensor: turned }).log);
    expect(assumesMount(checked)).toBe(true);
    expect(lineOf(checked, 'lever').finding).toMatch(/the blade \d+° away/);
  });
});

// The blade along x turns by rates about y and z. The first two rows hardly move; in the third and fourth the rate is about
// y alone, which along y is no swing at all, and along z the same swing; the fifth turns about all three alike.
test('stretches that swap their speeds are told, though the mean over the take stays the same', () => {
  const rates = {
    gyroXDps: Float64Array.of(3, 20, 0, 0, 300),
    gyroYDps: Float64Array.of(4, 40, 500, -200, 300),
    gyroZDps: Float64Array.of(0, 50, 0, 0, 300),
  };
  expect(axisShares(rates)).toEqual([2 / 3, 0]);
  const swapped = {
    gyroXDps: Float64Array.of(800, 0),
    gyroYDps: Float64Array.of(0, 0),
    gyroZDps: Float64Array.of(0, 800),
  };
  // Along z the first stretch is as fast as the second was along x, and the second stands still.
  expect(axisShares(swapped)).toEqual([1 / 2, 1]);
  expect(otherAxesText([1 / 2, 1])).toBe(
    'Were the blade to lie along y, the swing speed would differ by a quarter or more in 50 % of the moving time, along z in 100 %.',
  );
});

test('without rates nothing is said of other axes', () => {
  expect(otherAxesText([Number.NaN, Number.NaN])).toBe('');
});

test.each([
  [0, 3, ''],
  [1, 1, 'The mount is assumed: '],
  [2, 3, 'In 2 of 3 takes the mount is assumed: '],
] as const)('%i of %i takes: "%s"', (assumed, of, start) => {
  const text = assumedMountText(assumed, of);
  expect(start === '' ? text === '' : text.startsWith(start)).toBe(true);
});

test('of a kept setting only takes that count are counted', () => {
  const takes = [
    { isMountAssumed: true, leftOut: null },
    { isMountAssumed: true, leftOut: 'no motion' },
    { leftOut: null },
  ];
  expect(keptMountText(takes)).toContain('In 1 of 2 takes');
});
